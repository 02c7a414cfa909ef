package data

import (
	"embed"
	"io/fs"
)

//go:embed demo
var demo embed.FS

// Demo returns the built-in example: PlanFile and the files that it names.
// Place, pumps and prices are invented.
//
//	LoadPlan(PlanFile, LoadOptions{Open: FromFS(Demo())})
func Demo() fs.FS {
	sub, err := fs.Sub(demo, "demo")
	if err != nil {
		panic("data: " + err.Error())
	}
	return sub
}
