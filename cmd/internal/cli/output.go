package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/units"
)

// pageOptions are the flags of every command that prints a page.
type pageOptions struct {
	format  string
	output  string
	units   units.System
	working bool

	pictures string // folder for the pictures of the page
}

var systemWords = []string{units.Metric.String(), units.US.String(), units.Imperial.String()}

// systemFlag shows in help the words that --units takes.
type systemFlag struct{ *units.System }

// Type returns the words.
func (systemFlag) Type() string { return strings.Join(systemWords, "|") }

// addPageFlags declares the flags of pageOptions on cmd.
func addPageFlags(cmd *cobra.Command, o *pageOptions) {
	flags := cmd.Flags()
	addEnum(cmd, &o.format, "format", report.FormatNames(), "how to print the page (default: by the ending of --output, else text)")
	flags.StringVarP(&o.output, "output", "o", "", "write the page to `FILE`, whole or not at all; - is standard output")
	flags.Var(&systemFlag{&o.units}, "units", "units of text, Markdown, HTML and pictures")
	completeWords(cmd, "units", systemWords)
	flags.BoolVar(&o.working, "working", false, "show formula, inputs and source of every figure")
	flags.StringVar(&o.pictures, "pictures", "", "write the pictures of the page to folder `DIR` as SVG and PNG")
	markGroup(cmd, groupPage, "format", "output", "units", "working", "pictures")
}

// target returns where the page goes, "" for standard output, and its format.
func (o *pageOptions) target() (path string, format report.Format, err error) {
	path = o.output
	end, err := endOfLinks(path)
	number, open := descriptor(end)
	if path == "-" || err == nil && number == 1 {
		path = ""
	}
	if o.format != "" {
		format, _ = report.FormatNamed(o.format) // the flag took no other name
		return path, format, nil
	}
	if path == "" {
		return path, report.Formats[0], nil
	}
	if format, ok := report.FormatForFile(path); ok {
		return path, format, nil
	}
	if info, err := os.Stat(path); open || err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return path, report.Formats[0], nil
	}
	return "", format, &data.Error{Key: "--output", Found: path, Message: "the ending does not say which format",
		Allowed: strings.Join(report.Endings(), ", "), Hint: "choose any ending with --format, such as --format text"}
}

// writePage renders d as o asks and writes it. inputs are the files that the
// page was made from, which it must not replace.
func writePage(s *Streams, d *document.Document, o *pageOptions, inputs []string) error {
	path, format, err := o.target()
	if err != nil {
		return err
	}
	d.ShowWorking = o.working
	opt := report.Options{System: o.units, Width: s.width}
	if path == "" {
		opt.Colour = s.wantColour
	} else {
		opt.Width = pageWidth
	}
	page, err := report.Render(format, d, opt)
	if err != nil {
		return err
	}
	if err := writePictures(s, d, o, inputs); err != nil {
		return err
	}
	if format.Name == "csv" {
		// A table has no room for doubts.
		for _, w := range d.WarningTexts(o.units) {
			s.say("warning", w)
		}
	}
	if path == "" {
		_, err := s.Out.Write(page)
		return err
	}
	if in := sameFile(path, inputs); in != "" {
		return &data.Error{Key: "--output", Found: path, Message: "the page would replace its own input " + in,
			Allowed: "a file that the page is not made from"}
	}
	if err := writeWhole(path, page); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, cause(err))
	}
	return nil
}

// cause returns the reason of a file error without the path, which the message
// has already.
func cause(err error) error {
	var pathErr *fs.PathError
	if errors.As(err, &pathErr) {
		return pathErr.Err
	}
	var linkErr *os.LinkError
	if errors.As(err, &linkErr) {
		return linkErr.Err
	}
	return err
}

// sameFile returns the input that path is, by whatever name, or "".
func sameFile(path string, inputs []string) string {
	out, err := os.Stat(path)
	if err != nil {
		return ""
	}
	for _, in := range inputs {
		if info, err := os.Stat(in); err == nil && os.SameFile(out, info) {
			return in
		}
	}
	return ""
}

// writeWhole puts page in the file at path, whole or not at all: it writes a
// file beside it and renames that. A symbolic link stays one. What is no
// regular file, such as a pipe or a device, is written through, and so is what
// stands for an open file.
func writeWhole(path string, page []byte) error {
	mode := fs.FileMode(0o666)
	path, err := endOfLinks(path)
	if err != nil {
		return err
	}
	info, err := os.Stat(path)
	_, open := descriptor(path)
	switch {
	case err == nil && info.IsDir():
		return errors.New("it is a folder")
	case open || err == nil && !info.Mode().IsRegular():
		return writeThrough(path, page)
	case err == nil:
		mode = info.Mode().Perm()
		// A file that may not be written must not be replaced either.
		probe, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		if err := probe.Close(); err != nil {
			return err
		}
	}
	return replace(path, page, mode, err == nil)
}

// endOfLinks returns where path leads by symbolic links, even where nothing is
// there yet. It does not follow the name of an open file, which may lead to a
// regular one. An error is a loop of links.
func endOfLinks(path string) (string, error) {
	const most = 40 // as many as Linux follows
	for range most {
		full, err := filepath.Abs(path)
		if err != nil {
			return "", err
		}
		folder, err := filepath.EvalSymlinks(filepath.Dir(full))
		if err != nil {
			return path, nil // whoever opens it says so
		}
		full = filepath.Join(folder, filepath.Base(full))
		if _, open := descriptor(full); open {
			return full, nil
		}
		info, err := os.Lstat(path)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			return path, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(folder, to)
		}
		path = to
	}
	return "", errors.New("its symbolic links lead nowhere")
}

// openFile matches the names of the open files of a process: /dev/fd/1 is
// standard output of this one.
var openFile = regexp.MustCompile(`^/(?:dev|proc/(\d+)(?:/task/\d+)?)/fd/(\d+)$`)

// descriptor reports whether path, whose folder is no symbolic link, is the name
// of an open file, and the number of one of this process, else -1.
func descriptor(path string) (number int, open bool) {
	m := openFile.FindStringSubmatch(path)
	if m == nil || m[1] != "" && m[1] != strconv.Itoa(os.Getpid()) {
		return -1, m != nil
	}
	number, err := strconv.Atoi(m[2])
	return number, err == nil
}

// writeThrough writes page where path leads, after what is there. An open file
// of this process is not opened anew, as it would then start at its top.
func writeThrough(path string, page []byte) (err error) {
	f := os.Stderr // stays open for messages
	switch number, _ := descriptor(path); {
	case number < 0:
		f, err = os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	case number != 2:
		f = os.NewFile(uintptr(number), path)
	}
	if err != nil {
		return err
	}
	if _, err = f.Write(page); f != os.Stderr {
		err = errors.Join(err, f.Close())
	}
	return err
}

// replace writes page to a new file beside path and renames it to path.
func replace(path string, page []byte, mode fs.FileMode, keepMode bool) (err error) {
	f, err := createBeside(path, mode)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = f.Close()           // it may be closed already
			_ = os.Remove(f.Name()) // the first error is the one to tell
		}
	}()
	if keepMode {
		if err := f.Chmod(mode); err != nil {
			return err
		}
	}
	if _, err := f.Write(page); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// createBeside opens a new file in the folder of path. os.CreateTemp would
// hide it from everybody but its owner, whatever the person's umask says.
func createBeside(path string, mode fs.FileMode) (*os.File, error) {
	for i := 0; ; i++ {
		name := fmt.Sprintf("%s.%d-%d.part", path, os.Getpid(), i)
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if errors.Is(err, fs.ErrExist) && i < 100 {
			continue
		}
		return f, err
	}
}

// runPage builds a page and writes it, also where it holds no answer.
func runPage(s *Streams, o *pageOptions, build func() (*document.Document, []string, error)) error {
	if _, _, err := o.target(); err != nil {
		return &ranError{err}
	}
	doc, inputs, err := build()
	var none *page.NoAnswer
	if err != nil && !errors.As(err, &none) {
		return &ranError{err}
	}
	if werr := writePage(s, doc, o, inputs); werr != nil {
		return &ranError{werr}
	}
	if err != nil {
		return &ranError{err}
	}
	return nil
}
