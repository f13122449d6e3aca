package main

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/outfile"
)

// Verbs write files by these alone: an interrupt waits for them.

// writeAll writes figures into a folder, in place of those drawn before: all of them,
// or none.
func (c *call) writeAll(folder string, files []outfile.File) error {
	c.writing.Lock()
	defer c.writing.Unlock()
	opt := c.care()
	opt.Own = chart.IsOwn
	return outfile.WriteAll(folder, files, opt)
}

// write writes one file.
func (c *call) write(path string, content []byte) error {
	c.writing.Lock()
	defer c.writing.Unlock()
	return outfile.Write(path, content, c.care())
}

// update changes a file; see outfile.Update.
func (c *call) update(path string, edit func(old []byte) ([]byte, error)) error {
	writing := false
	defer func() {
		if writing {
			c.writing.Unlock()
		}
	}()
	return outfile.Update(path, func(old []byte) ([]byte, error) {
		content, err := edit(old)
		if err == nil && !writing { // not before: waiting for others may be interrupted
			c.writing.Lock()
			writing = true
		}
		return content, err
	})
}

// care says what may be overwritten: what exists with --force, what was read
// never.
func (c *call) care() outfile.Options {
	return outfile.Options{Force: c.opt.force, Inputs: c.read}
}

// draw writes figures into the folder that --plots names: all of them, or none.
func (c *call) draw(figures []figure.Figure) error {
	formats := []string{"svg", "png"}
	if c.opt.format != "" {
		formats = []string{c.opt.format}
	}
	var files []outfile.File
	var names []string
	for i := range figures {
		names = append(names, figures[i].Name)
		for _, format := range formats {
			content, err := figures[i].Render(format, chart.Light)
			if err != nil {
				return err
			}
			files = append(files, outfile.File{Name: figures[i].Name + "." + format, Content: content})
		}
	}
	if err := c.writeAll(c.opt.plots, files); err != nil {
		return err
	}
	c.note([]string{fmt.Sprintf("%s: drew %s, as %s", c.opt.plots, strings.Join(names, ", "), strings.Join(formats, " and "))})
	return nil
}
