package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"sunrill": main,
	})
}

// TestScript runs testdata/script, one behaviour of the command a file. Run
// one with -run TestScript/NAME; UPDATE_SCRIPTS=1 rewrites what cmp compares.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", "script"),
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			// What a tester's own shell sets must not reach the pages.
			env.Setenv("COLUMNS", "")
			return nil
		},
	})
}
