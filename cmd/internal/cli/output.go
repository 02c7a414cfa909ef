package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/units"
)

// pageOptions are the flags of every command that prints a page.
type pageOptions struct {
	format  report.Format // none of them where the ending of output says it
	output  string
	units   units.System
	working bool
	all     bool // the long page, where there is a short one

	pictures string // folder for the pictures of the page
}

// short reports whether of a page with a short answer only that is printed.
func (o *pageOptions) short() bool {
	_, format, err := o.target()
	return err == nil && format.Name == "text" && !o.all && !o.working && o.pictures == ""
}

// addPageFlags declares the flags of pageOptions on cmd; drawn says that its page has pictures.
func addPageFlags(cmd *cobra.Command, o *pageOptions, drawn bool) {
	flags := cmd.Flags()
	flags.Var(&o.format, "format", "how to print the page (default: by the ending of --output, else text)")
	completeWords(cmd, "format", report.FormatNames())
	flags.StringVarP(&o.output, "output", "o", "", "write the page to `FILE`, whole or not at all; - is standard output")
	flags.Var(&o.units, "units", "units of text, Markdown, HTML and pictures")
	completeWords(cmd, "units", strings.Split(o.units.Type(), "|"))
	flags.BoolVar(&o.working, "working", false, "show formula, inputs and source of every figure")
	markGroup(flags, groupPage, "format", "output", "units", "working")
	if drawn {
		flags.StringVar(&o.pictures, "pictures", "", "write the pictures of the page to folder `DIR` as PNG")
		markGroup(flags, groupPage, "pictures")
	}
}

// target returns where the page goes, "" for standard output, and its format.
func (o *pageOptions) target() (path string, format report.Format, err error) {
	path = o.output
	info, missing := os.Stat(path)
	if out, err := os.Stdout.Stat(); path == "-" || err == nil && missing == nil && os.SameFile(info, out) {
		path = "" // /dev/stdout too, so that what was written to it stays
	}
	if o.format.Name != "" {
		return path, o.format, nil
	}
	if format, ok := report.FormatForFile(path); ok && path != "" {
		return path, format, nil
	}
	if path == "" || ofSystem(path) || missing == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return path, report.Formats[0], nil
	}
	return "", format, &data.Error{Key: "--output", Found: path, Message: "the ending does not say which format",
		Allowed: strings.Join(report.Endings(), ", "), Hint: "choose any ending with --format, such as --format text"}
}

// writePage renders d as o asks and writes it. inputs are the files that the
// page was made from, which it must not replace.
func writePage(s *Streams, d *document.Document, o *pageOptions, inputs []string) error {
	s.system = o.units
	path, format, err := o.target()
	if err != nil {
		return err
	}
	if o.working && d.Work != nil {
		d.Working = d.Work()
	}
	opt := report.Options{System: o.units, Width: pageWidth, Short: !o.all && !o.working}
	if path == "" {
		opt.Width = s.width
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
	return writeApart("--output", path, page, inputs)
}

// writePictures writes every picture of the page to the folder that o names,
// each as PNG, a file whole or not at all.
func writePictures(s *Streams, d *document.Document, o *pageOptions, inputs []string) error {
	pictures := d.Pictures()
	switch {
	case o.pictures == "":
		return nil
	case len(pictures) == 0:
		s.say("warning", "this page has no pictures")
		return nil
	}
	if err := os.MkdirAll(o.pictures, 0o777); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", o.pictures, cause(err))
	}
	for _, p := range pictures {
		image, err := report.PNG(p, o.units)
		if err == nil {
			err = writeApart("--pictures", filepath.Join(o.pictures, p.Key+".png"), image, inputs)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// writeApart writes a file whole that flag asks for, but never over one of inputs,
// by whatever name.
func writeApart(flag, path string, file []byte, inputs []string) error {
	there, err := os.Stat(path)
	for _, in := range inputs {
		if info, inErr := os.Stat(in); err == nil && inErr == nil && os.SameFile(there, info) {
			return &data.Error{Key: flag, Found: path, Message: "it would replace its own input " + in,
				Allowed: "a file that the page is not made from"}
		}
	}
	if err := writeWhole(path, file); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, cause(err))
	}
	return nil
}

// cause returns the reason of a file error without the path, which the message
// has already.
func cause(err error) error {
	var reason syscall.Errno
	if errors.As(err, &reason) {
		return reason
	}
	return err
}

// writeWhole puts page in the file at path, whole or not at all: it writes a
// file beside it and renames that. A symbolic link stays one. What is no
// regular file, such as a pipe, a device or the name of an open file, is written
// through, after what is there.
func writeWhole(path string, page []byte) error {
	if to, err := filepath.EvalSymlinks(path); err == nil && !ofSystem(path) {
		path = to
	} else if _, noLink := os.Readlink(path); noLink == nil && !ofSystem(path) {
		return errors.New("its symbolic links lead nowhere")
	}
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return errors.New("it is a folder")
	case ofSystem(path) || err == nil && !info.Mode().IsRegular():
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
		if err != nil {
			return err
		}
		_, err = f.Write(page)
		return errors.Join(err, f.Close())
	case err != nil:
		return replace(path, page, 0o666, false)
	}
	// A file that may not be written must not be replaced either.
	probe, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		err = probe.Close()
	}
	if err != nil {
		return err
	}
	return replace(path, page, info.Mode().Perm(), true)
}

// ofSystem reports whether path names something of the system, such as an open
// file, which may lead to a regular one that must not be replaced.
func ofSystem(path string) bool {
	return strings.HasPrefix(path, "/dev/") || strings.HasPrefix(path, "/proc/")
}

// replace writes page to a new file beside path and renames it to path.
// os.CreateTemp would hide it from everybody but its owner, whatever the person's
// umask says; keep sets mode in spite of that.
func replace(path string, page []byte, mode fs.FileMode, keep bool) error {
	part, err := "", fs.ErrExist
	for i := 0; i < 100 && errors.Is(err, fs.ErrExist); i++ {
		part = fmt.Sprintf("%s.%d-%d.part", path, os.Getpid(), i)
		err = writeFresh(part, page, mode)
	}
	if err != nil {
		return err
	}
	if keep {
		err = os.Chmod(part, mode)
	}
	if err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		_ = os.Remove(part) // the first error is the one to tell
	}
	return err
}

// writeFresh writes a file that is not there yet, or leaves none.
func writeFresh(path string, text []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(path)
	}
	return err
}
