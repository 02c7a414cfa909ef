//go:build !js

package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"os"
)

// serve answers requests outside a browser: each line of standard input is what is asked
// and its JSON, each of standard output an answer.
func serve(do func(ctx context.Context, what string, body []byte) []byte) {
	lines := bufio.NewReader(os.Stdin)
	for {
		line, err := lines.ReadBytes('\n')
		if what, body, is := bytes.Cut(bytes.TrimSpace(line), []byte(" ")); is {
			_, _ = fmt.Fprintf(os.Stdout, "%s\n", do(context.Background(), string(what), body)) // who has gone reads nothing
		}
		if err != nil {
			return
		}
	}
}
