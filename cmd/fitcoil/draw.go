package main

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/outfile"
)

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
