package main

import (
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

func fitVerb() *verb {
	return &verb{
		name: "fit", args: "LOG", brief: "what the coil is, from the readings of a log", least: 1, most: 1,
		about: `
Reads a bench log (CSV: frequencies and the state of the coil at each) and
prints the coil's inductance and capacitance, the gain of each core, the
capacitance of a hand and of unknown parts, each with its standard uncertainty
and 95 % interval, and what the readings can't tell.`,
		example: []string{
			"fitcoil fit lighthouse.csv",
			"fitcoil fit lighthouse.csv --plots figures",
			"fitcoil fit lighthouse.csv --known inductance=1.9mH±2% --json",
		},
		flags: func(c *call) {
			logFlags(c)
			plotFlags(c)
			outputFlags(c)
		},
		do: func(c *call) error {
			in, err := c.readLog(c.args[0])
			if err != nil {
				return err
			}
			if err := in.allUsed(in.Log.Parts); err != nil {
				return err
			}
			r, err := model.Fit(in.Session)
			if err != nil {
				return err
			}
			if c.opt.plots != "" {
				if err := c.draw(figure.Set(r)); err != nil {
					return err
				}
			}
			if c.opt.json {
				return report.FitJSON(c.out, r, in.src)
			}
			return report.FitText(c.out, r, c.plan(r, in, model.Wish{Name: model.EffectiveInductance, State: model.Bare()}), r.Parts(), in.src, c.view())
		},
	}
}
