package main

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/data"
)

// module is the path of the module, and root where it lies.
const module = "sunrill"

var root = filepath.Join("..", "..")

// mayImport lists what each part of the module may import of it, one that stands
// below it; a part may import itself. Water and sun never import each other.
var mayImport = map[string][]string{
	"cmd/sunrill": {"cmd/internal/cli", "data"},
	"cmd/gendocs": {"cmd/internal/cli"},
	// Not the command: what it needs for terminals and plots would triple the file.
	"cmd/gensingle": {"cmd/internal/answer", "cmd/internal/document", "data/units"},
	"cmd/internal/cli": append([]string{"cmd/internal/live", "cmd/internal/answer", "cmd/internal/page", "cmd/internal/document",
		"cmd/internal/report", "energy"}, belowEnergy...),
	"cmd/internal/live":     {"cmd/internal/answer", "cmd/internal/page", "cmd/internal/document", "data", "data/plan", "data/units"},
	"cmd/internal/answer":   {"cmd/internal/page", "cmd/internal/document", "energy", "solar/sky", "data", "data/plan", "data/units"},
	"cmd/internal/page":     append([]string{"cmd/internal/document", "energy"}, belowEnergy...),
	"cmd/internal/report":   {"cmd/internal/document", "data/units"},
	"cmd/internal/document": {"data/figure", "data/units"},

	"energy":         belowEnergy,
	"energy/wiring":  {"energy/bill", "energy/supply", "data", "data/figure", "data/units"},
	"energy/still":   {"pumps", "data", "data/plan", "data/figure", "data/units"},
	"energy/battery": {"energy/bill", "energy/supply", "energy/money", "solar", "data", "data/plan", "data/clock", "data/figure", "data/units"},
	"energy/bill":    {"energy/money", "data", "data/figure", "data/units"},
	"energy/supply":  {"energy/money", "pumps", "solar", "data", "data/plan", "data/clock", "data/figure", "data/units"},
	"energy/money":   {"data", "data/plan", "data/clock", "data/figure", "data/units"},

	"solar/sky":   {"solar", "data", "data/plan", "data/figure", "data/units"},
	"solar":       {"data", "data/figure", "data/units"},
	"pumps/works": {"pumps", "data", "data/plan", "data/clock", "data/figure", "data/units"},
	"pumps":       {"data", "data/figure", "data/units"},

	"data/clock":  {"data", "data/plan", "data/units"},
	"data/plan":   {"data", "data/figure", "data/units"},
	"data":        {"data/figure", "data/units"},
	"data/figure": {"data/units"},
	"data/units":  {},

	// for tests only
	"data/reftest":  {},
	"data/plantest": {"data", "data/plan", "data/units"},
}

// belowEnergy are the parts that the whole job is made of.
var belowEnergy = []string{"energy/wiring", "energy/still", "energy/battery", "energy/bill", "energy/supply", "energy/money",
	"solar/sky", "solar", "pumps/works", "pumps", "data", "data/plan", "data/clock", "data/figure", "data/units"}

// forTests are the parts that nothing but tests may import.
var forTests = []string{"data/reftest", "data/plantest"}

// part returns the part of the module that the folder belongs to.
func part(folder string) string {
	for f := folder; ; f = filepath.ToSlash(filepath.Dir(f)) {
		if _, ok := mayImport[f]; ok || f == "." {
			return f
		}
	}
}

// eachFolder calls visit for every folder that holds Go files.
func eachFolder(t *testing.T, visit func(folder string, fset *token.FileSet, files []*ast.File)) {
	t.Helper()
	folders := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		if name := d.Name(); name == "testdata" || len(name) > 2 && name[0] == '.' {
			return filepath.SkipDir
		}
		names, err := filepath.Glob(filepath.Join(path, "*.go"))
		if err != nil || len(names) == 0 {
			return err
		}
		fset, files := token.NewFileSet(), []*ast.File{}
		for _, name := range names {
			f, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
			if err != nil {
				return err
			}
			files = append(files, f)
		}
		folder, err := filepath.Rel(root, path)
		folders++
		visit(filepath.ToSlash(folder), fset, files)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if folders < 6 {
		t.Fatalf("only %d folders with Go files under %s", folders, root)
	}
}

func TestImportsGoOneWay(t *testing.T) {
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		from := part(folder)
		for _, f := range files {
			test := strings.HasSuffix(fset.Position(f.Pos()).Filename, "_test.go")
			for _, spec := range f.Imports {
				path, err := strconv.Unquote(spec.Path.Value)
				if err != nil {
					t.Fatal(err)
				}
				if path == "testing" && !test && !slices.Contains(forTests, from) {
					t.Errorf("%s: support of tests is in %v or in test files", fset.Position(spec.Pos()), forTests)
				}
				inner, ours := strings.CutPrefix(path, module+"/")
				if !ours {
					continue
				}
				to := part(inner)
				allowed := to == from || slices.Contains(mayImport[from], to) || test && slices.Contains(forTests, to)
				if !allowed {
					t.Errorf("%s: %s may not import %s", fset.Position(spec.Pos()), from, path)
				}
			}
		}
	})
}

// noReach lists what the domain does without: files, streams, the clock, chance
// and the environment come to it as arguments.
var noReach = []string{"bufio", "embed", "log", "log/slog", "math/rand", "net", "net/http", "os", "os/exec", "os/signal", "path/filepath", "syscall", "unsafe"}

// ofNow lists the functions whose answer depends on when or where they are asked.
// rand.New with a source of its own is none of them.
var ofNow = map[string][]string{
	"time":         {"Now", "Since", "Until", "After", "AfterFunc", "NewTimer", "NewTicker", "Tick", "Sleep", "LoadLocation"},
	"math/rand/v2": {"Int", "IntN", "Int32", "Int32N", "Int64", "Int64N", "Uint32", "Uint32N", "Uint64", "Uint64N", "N", "Float32", "Float64", "NormFloat64", "ExpFloat64", "Perm", "Shuffle"},
	"fmt":          {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
}

// TestDomainReachesForNothing: pumps, solar and energy import no package with
// which to read, print or ask.
func TestDomainReachesForNothing(t *testing.T) {
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		if top, _, _ := strings.Cut(folder, "/"); !slices.Contains([]string{"pumps", "solar", "energy"}, top) && folder != "data/clock" {
			return
		}
		for _, f := range files {
			if strings.HasSuffix(fset.Position(f.Pos()).Filename, "_test.go") {
				continue
			}
			for _, spec := range f.Imports {
				if path, _ := strconv.Unquote(spec.Path.Value); slices.Contains(noReach, path) {
					t.Errorf("%s: the domain does without %s", fset.Position(spec.Pos()), path)
				}
			}
		}
	})
}

// numberVerb matches a verb of fmt that prints a number as programs do.
var numberVerb = regexp.MustCompile(`%[-+#0-9.]*[efgG]`)

// TestSentencesHoldNumbersForPeople: outside tests and units itself, numbers go into a
// sentence through units, which writes no exponent and no minus zero.
func TestSentencesHoldNumbersForPeople(t *testing.T) {
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		if folder == "data/units" || slices.Contains(forTests, folder) {
			return
		}
		for _, f := range files {
			if strings.HasSuffix(fset.Position(f.Pos()).Filename, "_test.go") {
				continue
			}
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) == 0 {
					return true
				}
				switch name := types.ExprString(call.Fun); name {
				case "fmt.Sprintf", "fmt.Errorf":
					if numberVerb.MatchString(types.ExprString(call.Args[0])) {
						t.Errorf("%s: %s prints a number; units has the same for people", fset.Position(call.Pos()), name)
					}
				}
				return true
			})
		}
	})
}

// serving is the part that may ask the clock: how long nobody has asked for anything.
const serving = "cmd/internal/live"

// TestNobodyAsksTheClock: no code outside tests but that of the server asks the time,
// draws without a seed or prints past its streams. A run in 1970 is a run like any other.
func TestNobodyAsksTheClock(t *testing.T) {
	calls := 0
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		for _, f := range files {
			if strings.HasSuffix(fset.Position(f.Pos()).Filename, "_test.go") || folder == serving {
				continue
			}
			names := map[string]string{} // of the packages that f imports
			for _, spec := range f.Imports {
				path, _ := strconv.Unquote(spec.Path.Value)
				name := strings.TrimSuffix(path, "/v2")
				name = name[strings.LastIndexByte(name, '/')+1:]
				if spec.Name != nil {
					name = spec.Name.Name
				}
				names[name] = path
			}
			ast.Inspect(f, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if x, ok := s.X.(*ast.Ident); ok && names[x.Name] != "" {
					calls++
					if slices.Contains(ofNow[names[x.Name]], s.Sel.Name) {
						t.Errorf("%s: %s.%s", fset.Position(s.Pos()), x.Name, s.Sel.Name)
					}
				}
				return true
			})
		}
	})
	if calls < 1000 {
		t.Errorf("only %d names of other packages were seen", calls)
	}
}

func TestExportsAreDocumented(t *testing.T) {
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		var code []*ast.File
		for _, f := range files {
			if !strings.HasSuffix(fset.Position(f.Pos()).Filename, "_test.go") {
				code = append(code, f)
			}
		}
		if len(code) == 0 {
			return
		}
		p, err := doc.NewFromFiles(fset, code, module+"/"+folder)
		if err != nil {
			t.Fatal(err)
		}
		need := func(name, text string) {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s: %s has no comment", folder, name)
			}
		}
		need("package "+p.Name, p.Doc)
		for _, f := range p.Funcs {
			need(f.Name, f.Doc)
		}
		for _, v := range append(p.Consts, p.Vars...) {
			needValue(t, folder, v)
		}
		for _, typ := range p.Types {
			need(typ.Name, typ.Doc)
			for _, f := range append(typ.Funcs, typ.Methods...) {
				need(typ.Name+"."+f.Name, f.Doc)
			}
			for _, v := range append(typ.Consts, typ.Vars...) {
				needValue(t, folder, v)
			}
		}
	})
}

// needValue asks for a comment on the group of constants or variables, or on
// each exported one of it.
func needValue(t *testing.T, folder string, v *doc.Value) {
	t.Helper()
	if strings.TrimSpace(v.Doc) != "" {
		return
	}
	for _, spec := range v.Decl.Specs {
		value, ok := spec.(*ast.ValueSpec)
		if !ok || value.Doc.Text() != "" || value.Comment.Text() != "" {
			continue
		}
		for _, name := range value.Names {
			if name.IsExported() {
				t.Errorf("%s: %s has no comment", folder, name.Name)
			}
		}
	}
}

// saysNothing are names of files that tell nobody what is in them.
var saysNothing = []string{"common", "helper", "helpers", "misc", "other", "stuff", "util", "utils"}

// TestEveryPackageIsOnTheList: DEVELOPERS.md says what each package holds, and each
// file's name is a plain topic.
func TestEveryPackageIsOnTheList(t *testing.T) {
	page, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	plain := regexp.MustCompile(`^[a-z]+(_[a-z0-9]+)*\.go$`)
	eachFolder(t, func(folder string, fset *token.FileSet, files []*ast.File) {
		if !strings.Contains(string(page), "| `"+folder+"` |") {
			t.Errorf("%s is not in DEVELOPERS.md", folder)
		}
		for _, f := range files {
			name := filepath.Base(fset.Position(f.Pos()).Filename)
			if !plain.MatchString(name) || slices.Contains(saysNothing, strings.TrimSuffix(name, ".go")) {
				t.Errorf("%s: %s is no plain topic", folder, name)
			}
		}
	})
}

// TestTablesThatAreNamedAreThere: a page, a help line or a manual that sends
// somebody to "sunrill tables NAME" names one of the embedded tables.
func TestTablesThatAreNamedAreThere(t *testing.T) {
	table := regexp.MustCompile(`sunrill tables ([a-z_]+)`)
	found := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || len(d.Name()) > 2 && d.Name()[0] == '.'):
			return filepath.SkipDir
		case d.IsDir() || strings.HasSuffix(path, "_test.go") || !slices.Contains([]string{".go", ".csv", ".md", ".toml"}, filepath.Ext(path)):
			return nil
		}
		text, err := os.ReadFile(path)
		for _, m := range table.FindAllSubmatch(text, -1) {
			found++
			if _, err := data.TableNamed(string(m[1])); err != nil {
				t.Errorf("%s: %v", path, err)
			}
		}
		return err
	})
	if err != nil || found < 10 {
		t.Errorf("%d tables are named, %v", found, err)
	}
}
