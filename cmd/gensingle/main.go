// Command gensingle writes the planner as one HTML file that opens from a disk or a
// phone with nothing installed: the page of the demo with the engine in it. It is run
// from a checkout, and the file is never committed.
//
//	go run ./cmd/gensingle FILE
package main

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"sunrill/cmd/internal/answer"
	"sunrill/cmd/internal/document"
)

//go:embed single.js
var singleScript string

//go:embed worker.js
var workerScript string

// policy lets the engine run, and nothing be asked of anybody.
const policy = " 'wasm-unsafe-eval'; worker-src blob:; connect-src 'none'"

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: gensingle FILE")
		os.Exit(2)
	}
	page, err := generate()
	if err == nil {
		err = os.WriteFile(os.Args[1], page, 0o666)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "gensingle:", err)
		os.Exit(1)
	}
}

// generate returns the file.
func generate() ([]byte, error) {
	engine, err := build()
	if err != nil {
		return nil, err
	}
	root, err := run(exec.Command("go", "env", "GOROOT"))
	if err != nil {
		return nil, err
	}
	glue, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, fmt.Errorf("this Go has no support for browsers: %w", err)
	}
	worker, err := json.Marshal(string(glue) + workerScript) // no text of it can end a script
	if err != nil {
		return nil, err
	}
	return answer.Demo().Page(context.Background(), document.Engine{Policy: policy, Payload: base64.StdEncoding.EncodeToString(engine),
		Script: "const sunrillWorker = " + string(worker) + ";\n" + singleScript})
}

// build returns the engine for a browser, packed.
func build() ([]byte, error) {
	folder, err := os.MkdirTemp("", "gensingle")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder) // at the worst it stays until the machine clears up
	file := filepath.Join(folder, "engine.wasm")
	command := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", file, "sunrill/cmd/gensingle/engine")
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=-buildvcs=false") // not those of a test
	if _, err := run(command); err != nil {
		return nil, err
	}
	engine, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(engine); err != nil {
		return nil, err
	}
	err = w.Close()
	return packed.Bytes(), err
}

// run returns what a command prints; its error holds what it complained of.
func run(c *exec.Cmd) ([]byte, error) {
	var complaint bytes.Buffer
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", c, err, complaint.Bytes())
	}
	return out, nil
}
