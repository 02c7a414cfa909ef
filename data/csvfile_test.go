package data

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"sunrill/data/figure"
	"sunrill/data/reftest"
)

type hose struct {
	Name  string                `csv:"name"`
	Bore  float64               `csv:"bore_mm"`
	Pitch figure.Maybe[float64] `csv:"pitch_mm,omitempty"`
}

func utf16Bytes(s string, order binary.AppendByteOrder, bom bool) string {
	var raw []byte
	if bom {
		raw = order.AppendUint16(raw, 0xfeff)
	}
	for _, u := range utf16.Encode([]rune(s)) {
		raw = order.AppendUint16(raw, u)
	}
	return string(raw)
}

func TestRead(t *testing.T) {
	want := []record[hose]{{Row: hose{"garden", 12.5, figure.Maybe[float64]{}}}, {Row: hose{"ribbed", 32, figure.Known(6.5)}}}
	table := "name;bore_mm;pitch_mm\ngarden;12,5;\nribbed;32;6,5\n"
	tests := []struct {
		name, file string
		lines      [2]int
	}{
		{"semicolons and decimal commas", table, [2]int{2, 3}},
		{"commas and points", "name,bore_mm,pitch_mm\ngarden,12.5,\nribbed,32,6.5", [2]int{2, 3}},
		{"tabs", strings.ReplaceAll(table, ";", "\t"), [2]int{2, 3}},
		{"CRLF", strings.ReplaceAll(table, "\n", "\r\n"), [2]int{2, 3}},
		{"CR", strings.ReplaceAll(table, "\n", "\r"), [2]int{2, 3}},
		{"byte-order mark", "\ufeff" + table, [2]int{2, 3}},
		{"UTF-16 LE", utf16Bytes(table, binary.LittleEndian, true), [2]int{2, 3}},
		{"UTF-16 BE", utf16Bytes(table, binary.BigEndian, true), [2]int{2, 3}},
		{"UTF-16 LE without mark", utf16Bytes(table, binary.LittleEndian, false), [2]int{2, 3}},
		{"UTF-16 BE without mark", utf16Bytes(table, binary.BigEndian, false), [2]int{2, 3}},
		{"sep line", "sep=;\n" + table, [2]int{3, 4}},
		{"comments and blank rows", "# a note; with a mark\n\n" + strings.ReplaceAll(table, "ribbed", "\n;;\n# note\nribbed"), [2]int{4, 8}},
		{"comment as a spreadsheet saves it", "\"# a note; more\";;\n" + table, [2]int{3, 4}},
		{"other order and capitals", "Pitch_mm;NAME;bore_mm\n;garden;12,5\n6,5;ribbed;32\n", [2]int{2, 3}},
		{"quotes and spaces", "name, bore_mm , pitch_mm\n\"garden\", 12.5 ,\n ribbed,32,\"6.5\"\n", [2]int{2, 3}},
		{"empty columns at the end", "name;bore_mm;pitch_mm;;\ngarden;12,5;;;\nribbed;32;6,5;;\n", [2]int{2, 3}},
		{"quoted line break", "name;bore_mm;pitch_mm\ngarden;\"12,5\n\";\nribbed;32;6,5\n", [2]int{2, 4}},
	}
	for _, tt := range tests {
		want[0].Line, want[1].Line = tt.lines[0], tt.lines[1]
		got, warnings, err := readHoses("hoses.csv", strings.NewReader(tt.file))
		if err != nil || len(warnings) > 0 {
			t.Errorf("%s: %v %v", tt.name, warnings, err)
		} else if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(record[hose]{})); diff != "" {
			t.Errorf("%s: %s", tt.name, diff)
		}
	}
}

// readHoses reads a file of hoses, or returns all that is wrong with it.
func readHoses(name string, r io.Reader) ([]record[hose], []Warning, error) {
	rows, s, err := readRows[hose](name, r, anyFile)
	if err = s.done(err); err != nil {
		rows = nil
	}
	return rows, s.warnings, err
}

func TestReadRefuses(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string // one message for each fault, to the letter
	}{
		{"empty", "", []string{`f.csv: the file is empty; allowed: a heading row and rows of numbers`}},
		{"comments only", "# nothing\n\n", []string{`f.csv: the file is empty; allowed: a heading row and rows of numbers`}},
		{"heading only", "name,bore_mm\n", []string{`f.csv:1:1: there are no rows under the headings; allowed: at least one row`}},
		{"binary", "name,bore_mm\nx,\x00\x01", []string{`f.csv:2:3: the file is not text but binary data: found "\x00"; allowed: a text file in UTF-8 or UTF-16`}},
		{"unknown, double and missing column", "name,bormm,name\na,1,b\n", []string{
			`f.csv:1:1: bore_mm: the column is missing; allowed: name, bore_mm, pitch_mm`,
			`f.csv:1:6: there is no such column in this file: found "bormm"; allowed: name, bore_mm, pitch_mm`,
			`f.csv:1:12: name: the name stands in two columns, first in name: found "name"; allowed: one column of each`}},
		{"short and long row", "name,bore_mm\na\nb,1,2\n", []string{
			`f.csv:2:1: the row has 1 cell under 2 headings: found "a"; allowed: one cell for each heading`,
			`f.csv:3:5: the row has 3 cells under 2 headings: found "b,1,2"; allowed: one cell for each heading`}},
		{"cells", "name;bore_mm\n;1\nb;\nc;NaN\nd;-Inf\ne;0x10\nf;1e999\né;1_0\n", []string{
			`f.csv:2:1: name: the cell is empty; allowed: a value`,
			`f.csv:3:3: bore_mm: the cell is empty; allowed: a value`,
			`f.csv:4:3: bore_mm: the cell is not a number: found "NaN"; allowed: a plain number such as 12.5`,
			`f.csv:5:3: bore_mm: the cell is not a number: found "-Inf"; allowed: a plain number such as 12.5`,
			`f.csv:6:3: bore_mm: the cell is not a number: found "0x10"; allowed: a plain number such as 12.5`,
			`f.csv:7:3: bore_mm: the number is too large: found "1e999"; allowed: a plain number such as 12.5`,
			`f.csv:8:3: bore_mm: the cell is not a number: found "1_0"; allowed: a plain number such as 12.5`}},
		{"no cell settles the mark", "name;bore_mm\na;1,500\nb;12\nc;2,250\n", []string{
			`f.csv:2:3: bore_mm: can be read two ways, and no cell of the file shows which: as 1500 or as 1.500: found "1,500"; allowed: numbers without thousands marks, such as 1500 or 1.5000`,
			`f.csv:4:3: bore_mm: can be read two ways, and no cell of the file shows which: as 2250 or as 2.250: found "2,250"; allowed: numbers without thousands marks, such as 2250 or 2.2500`}},
		{"thousands under a settled mark", "name;bore_mm\na;1,500\nb;12.5\nc;1,234.5\n", []string{
			`f.csv:2:3: bore_mm: the number has a thousands mark: found "1,500"; allowed: a plain number such as 12.5`,
			`f.csv:4:3: bore_mm: the number has a thousands mark: found "1,234.5"; allowed: a plain number such as 12.5`}},
		{"thousands by a space or a quote", "name;bore_mm\na;1 500\nb;1'500\nc;1\u00a0500,5\nd;12 mm\n", []string{
			`f.csv:2:3: bore_mm: the number has a thousands mark: found "1 500"; allowed: a plain number such as 12.5`,
			`f.csv:3:3: bore_mm: the number has a thousands mark: found "1'500"; allowed: a plain number such as 12.5`,
			"f.csv:4:3: bore_mm: the number has a thousands mark: found \"1\\u00a0500,5\"; allowed: a plain number such as 12.5",
			`f.csv:5:3: bore_mm: the cell is not a number: found "12 mm"; allowed: a plain number such as 12.5`}},
		{"two decimal marks", "name;bore_mm\na;1,5\nb;2.5\n", []string{
			`f.csv:3:3: bore_mm: the decimal mark differs from 1,5 in line 2: found "2.5"; allowed: one decimal mark in the whole file, and no thousands marks`}},
		{"open quote", "name,bore_mm\n\"a,1\n", []string{
			`f.csv:2:5: the quotes cannot be read: found "\"a,1"; allowed: cells with a quote inside as "1 1/4"" hose"`}},
	}
	for _, tt := range tests {
		rows, _, err := readHoses("f.csv", strings.NewReader(tt.file))
		var got []string
		for _, f := range Faults(err) {
			got = append(got, f.Error())
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s: %s", tt.name, diff)
		}
		if err != nil && rows != nil {
			t.Errorf("%s: rows beside an error", tt.name)
		}
	}
}

// A decimal comma in one cell settles the doubtful ones of the same file.
func TestReadSettlesMark(t *testing.T) {
	for _, file := range []string{"name;bore_mm\na;1,500\nb;2,5\n", "name;bore_mm\na;1.500\nb;2.5\n", "name,bore_mm\na,1.500\nb,2.500\n"} {
		rows, _, err := readHoses("f.csv", strings.NewReader(file))
		if err != nil {
			t.Errorf("%q: %v", file, err)
		} else if rows[0].Row.Bore != 1.5 || rows[1].Row.Bore != 2.5 {
			t.Errorf("%q: %v", file, rows)
		}
	}
}

func TestReadCapsFaults(t *testing.T) {
	var b strings.Builder
	b.WriteString("name,bore_mm\n")
	for i := range 100 {
		fmt.Fprintf(&b, "h%d,wide\n", i)
	}
	_, _, err := readHoses("f.csv", strings.NewReader(b.String()))
	faults := Faults(err)
	if len(faults) != MaxFaults+1 || faults[MaxFaults].Message != "and 80 more faults" {
		t.Errorf("%d faults, last %v", len(faults), faults[len(faults)-1])
	}
}

// endless never ends: only a limit can stop a reader of it.
type endless byte

func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

func TestReadTextLimits(t *testing.T) {
	if _, _, err := ReadText("big.csv", endless('\n')); err == nil || !strings.Contains(err.Error(), "up to 32 MB") {
		t.Errorf("endless file: %v", err)
	}
	if _, _, err := ReadText("long.csv", strings.NewReader(strings.Repeat("x", maxLineBytes+1))); err == nil || !strings.Contains(err.Error(), "1 MB a line") {
		t.Errorf("endless line: %v", err)
	}
}

// Bytes 0xb3 and 0xb0 are ³ and ° in Windows-1252 (Unicode's CP1252 table).
func TestReadTextWindows1252(t *testing.T) {
	text, warnings, err := ReadText("w.csv", strings.NewReader("m\xb3/h \xb0C \x80"))
	if text != "m³/h °C €" || len(warnings) != 1 || err != nil {
		t.Errorf("got %q, %v, %v", text, warnings, err)
	}
}

// FuzzRead: no panic; rows and an error never come together; every number is
// finite.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"name;bore_mm\na;1,5\n", "name,bore_mm,pitch_mm\na,1.5,\n", "sep=\t\nname\tbore_mm\na\t1\n", "name,bore_mm\n\"a\n", "\"", "#", "sep=", "name", "\xff\xfe", "a\x00"} {
		f.Add(s, []byte{})
	}
	for _, text := range OddFiles(f) {
		f.Add(text, []byte{})
	}
	f.Add("name,bore_mm,pitch_mm\na,25,5\nb,32,6\n", []byte{5, 1, 0, 1, 1, 2, 1, 0})
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		rows, _, err := readHoses("f.csv", strings.NewReader(reftest.Damaged(text, ",", moves)))
		if (err == nil) == (len(rows) == 0) {
			t.Fatalf("%d rows and %v", len(rows), err)
		}
		for _, r := range rows {
			for _, v := range []float64{r.Row.Bore, r.Row.Pitch.Value} {
				if math.IsNaN(v) || math.IsInf(v, 0) || r.Row.Name == "" || r.Line < 2 {
					t.Fatalf("%+v", r)
				}
			}
		}
	})
}

func TestWithoutThousands(t *testing.T) {
	for text, want := range map[string]string{"1.500": "1500", "1,500": "1500", "1.234,5": "1234,5", "1,234,567.8": "1234567.8",
		"1.234.567": "1234567", "1 500": "1500", "1'500.5": "1500.5"} {
		if got := withoutThousands(text); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}
