package main

import (
	"math"

	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
)

func coilVerb() *verb {
	var hands []string
	return &verb{
		name: "coil", args: "SHEET", brief: "the coil computed from its drawing", least: 1, most: 1,
		about: `
Reads a coil sheet (CSV: quantity, value, ±, unit) and computes inductance,
capacitance, bare frequency, the gain of the core drawn and the effect of a
hand; with --top-voltage 20kV also where the voltage stands. The same sheet
improves a fit: fitcoil fit LOG --coil SHEET.`,
		example: []string{
			"fitcoil coil testdata/lighthouse-coil.csv",
			"fitcoil coil testdata/lighthouse-coil.csv --hand 10cm --hand 20cm",
		},
		flags: func(c *call) {
			c.flags.StringArrayVar(&hands, "hand", nil, "`distance` of a hand from the top, as 10cm; may be given again")
			voltageFlag(c)
			plotFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error {
			var distances []float64
			for _, h := range hands {
				d, err := positive("hand", h, quantity.Length, math.MaxFloat64, "a distance above zero, as 10cm")
				if err != nil {
					return err
				}
				distances = append(distances, d)
			}
			sheet, file, err := c.readSheet(c.args[0])
			if err != nil {
				return err
			}
			if !sheet.CanPredict() {
				return &sheetError{c.args[0], "turns, winding diameter and winding length are needed to compute a coil"}
			}
			volts, err := c.topVoltage(sheet)
			if err != nil {
				return err
			}
			drawn, err := sheet.Drawing().Predict(distances...)
			if err != nil {
				return &sheetError{c.args[0], coilsheet.Worded(err).Error()}
			}
			cross, err := sheet.Drawing().CrossCheck()
			if err != nil {
				return &sheetError{c.args[0], coilsheet.Worded(err).Error()}
			}
			if c.opt.plots != "" {
				figures := []figure.Figure{figure.Drawing(drawn)}
				if volts > 0 {
					figures = append(figures, figure.DrawnVoltage(drawn, volts))
				}
				if err := c.draw(figures); err != nil {
					return err
				}
			}
			src := report.Source{Log: quantity.Visible(c.args[0]), Warnings: sheet.Notices, Program: c.program(), Files: []report.File{file}}
			switch {
			case c.opt.json:
				return report.CoilJSON(c.out, drawn, cross, volts, src)
			case c.opt.csv:
				return report.CoilCSV(c.out, drawn)
			}
			return report.CoilText(c.out, drawn, cross, volts, src, c.view())
		},
	}
}

// sheetError is a coil sheet that can be read but describes no possible coil.
type sheetError struct{ name, problem string }

func (e *sheetError) Error() string { return shown(e.name) + ": " + e.problem }

// readSheet reads a coil sheet and tells its notices.
func (c *call) readSheet(name string) (sheet *coilsheet.Sheet, file report.File, err error) {
	if sheet, file, err = readHashed(c, name, coilsheet.Read); err == nil {
		c.noteRead(sheet.Notices, sheet.Notices)
	}
	return sheet, file, err
}
