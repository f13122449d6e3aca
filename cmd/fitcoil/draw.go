package main

import (
	"slices"
	"strings"

	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/outfile"
)

// draw writes figures into the folder that --plots names: all of them, or none.
func (c *call) draw(figures []figure.Figure, inputs ...string) error {
	formats := []string{"svg", "png"}
	if c.opt.format != "" {
		formats = []string{c.opt.format}
		if !slices.Contains(chart.Formats(), c.opt.format) {
			return usagef("--format: read %q, expected %s", c.opt.format, strings.Join(chart.Formats(), ", "))
		}
	}
	var files []outfile.File
	for i := range figures {
		for _, format := range formats {
			content, err := figures[i].Render(format, chart.Light)
			if err != nil {
				return err
			}
			files = append(files, outfile.File{Name: figures[i].Name + "." + format, Content: content})
		}
	}
	return outfile.WriteAll(c.opt.plots, files, outfile.Options{Force: c.opt.force, Inputs: inputs})
}
