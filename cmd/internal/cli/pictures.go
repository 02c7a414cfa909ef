package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/report"
	"sunrill/data"
)

// writePictures writes every picture of the page to the folder that o names,
// each as SVG and PNG, a file whole or not at all.
func writePictures(s *Streams, d *document.Document, o *pageOptions, inputs []string) error {
	if o.pictures == "" {
		return nil
	}
	pictures := d.Pictures()
	if len(pictures) == 0 {
		s.say("warning", "this page has no pictures")
		return nil
	}
	files := map[string][]byte{}
	var order []string
	for _, p := range pictures {
		svg, err := p.SVG(o.units)
		if err != nil {
			return err
		}
		png, err := report.PNG(p, o.units)
		if err != nil {
			return err
		}
		base := filepath.Join(o.pictures, p.Key)
		files[base+".svg"], files[base+".png"] = svg, png
		order = append(order, base+".svg", base+".png")
	}
	for _, path := range order {
		if in := sameFile(path, inputs); in != "" {
			return &data.Error{Key: "--pictures", Found: path, Message: "a picture would replace the page's own input " + in,
				Allowed: "a folder without files that the page is made from"}
		}
	}
	if err := os.MkdirAll(o.pictures, 0o777); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", o.pictures, cause(err))
	}
	for _, path := range order {
		if err := writeWhole(path, files[path]); err != nil {
			return fmt.Errorf("cannot write %s: %w", path, cause(err))
		}
	}
	return nil
}
