package data

import (
	"embed"
	"io/fs"
)

//go:embed demo starter
var folders embed.FS

// Demo returns the built-in example: PlanFile and the files that it names.
// Place, pumps and prices are invented.
//
//	LoadPlan(PlanFile, LoadOptions{Open: FromFS(Demo())})
func Demo() fs.FS {
	sub, err := fs.Sub(folders, "demo")
	if err != nil {
		panic("data: " + err.Error())
	}
	return sub
}

// StarterFile returns the text of StarterCurve or StarterClimate: examples that
// run as they are and say in comments what belongs in their place. Any other
// name is "".
func StarterFile(name string) string {
	text, err := folders.ReadFile("starter/" + name)
	if err != nil {
		return ""
	}
	return string(text)
}

// Names of the files that stand beside a new plan.
const (
	StarterCurve   = "curve.csv"
	StarterClimate = "climate.csv"
)
