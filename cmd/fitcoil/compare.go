package main

import (
	"slices"

	"fitcoil/ioformat/report"
	"fitcoil/model"
)

func compareVerb() *verb {
	return &verb{
		name: "compare", args: "LOG_A LOG_B", brief: "what moved between two sessions of one coil", least: 2, most: 2,
		about: `
Fits both logs and tells which quantities moved, by how many standard
uncertainties, and which did not: by Holm's test, which allows for how many
are tested. Parts of the same name and value are taken as the same physical
parts, and a --known value as one, so that their errors cancel.`,
		example: []string{"fitcoil compare lighthouse.csv rebuilt.csv"},
		flags: func(c *call) {
			logFlags(c)
			outputFlags(c)
		},
		do: func(c *call) error {
			var in [2]input
			var r [2]*model.Result
			for i, name := range c.args {
				var err error
				if in[i], err = c.readLog(name); err != nil {
					return err
				}
			}
			if err := in[0].allUsed(slices.Concat(in[0].Log.Parts, in[1].Log.Parts)); err != nil {
				return err
			}
			for i := range in {
				var err error
				if r[i], err = model.Fit(in[i].Session); err != nil {
					return err
				}
			}
			changes := model.Compare(r[0], r[1])
			if c.opt.json {
				return report.CompareJSON(c.out, changes, in[0].src, in[1].src)
			}
			return report.CompareText(c.out, changes, r, [2]report.Source{in[0].src, in[1].src}, c.view())
		},
	}
}
