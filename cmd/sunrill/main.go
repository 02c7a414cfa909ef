// Command sunrill plans the water, power and money of one small circulating
// pond pump.
package main

import (
	"os"
	"os/signal"
	"syscall"

	"sunrill/cmd/internal/cli"
)

func main() {
	// A reader that has seen enough closes the pipe. Ignored, the signal turns
	// into a write error, which the command takes for what it is.
	signal.Ignore(syscall.SIGPIPE)
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
