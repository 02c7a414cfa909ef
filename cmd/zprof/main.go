package main

import (
	"io"
	"os"
	"runtime/pprof"
	"strings"

	"sunrill/cmd/internal/cli"
)

func main() {
	f, _ := os.Create(os.Args[1])
	cli.Main(os.Args[2:], strings.NewReader(""), io.Discard, io.Discard)
	pprof.StartCPUProfile(f)
	for range 20 {
		cli.Main(os.Args[2:], strings.NewReader(""), io.Discard, io.Discard)
	}
	pprof.StopCPUProfile()
}
