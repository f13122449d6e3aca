package main

import (
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
)

func compareVerb() *verb {
	return &verb{
		name: "compare", args: "LOG_A LOG_B", brief: "what moved between two sessions of one coil", least: 2, most: 2,
		about: `
Fits both logs and says which quantities moved, by how many standard
uncertainties, and which did not, by Holm's test of all together. Parts of one
name and value are the same physical parts, so that their errors cancel.`,
		details: `
A quantity may move by chance: of n differences tested at 95 % each, n/20 do.
Holm's test allows for that. A --known value is the same in both sessions.`,
		example: []string{
			"fitcoil compare testdata/lighthouse.csv testdata/rebuilt.csv",
			"fitcoil compare testdata/lighthouse.csv testdata/rebuilt.csv --full",
		},
		flags: func(c *call) {
			logFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error {
			in, err := c.readLogs()
			if err != nil {
				return err
			}
			var r [2]*model.Result
			for i := range in {
				if r[i], err = c.fit(in[i]); err != nil {
					return err
				}
			}
			changes := decisions.Compare(r[0].Result, r[1].Result)
			switch {
			case c.opt.json:
				return report.CompareJSON(c.out, changes, r, in[0].src, in[1].src)
			case c.opt.csv:
				return report.CompareCSV(c.out, changes)
			}
			return report.CompareText(c.out, changes, r, [2]report.Source{in[0].src, in[1].src}, c.view())
		},
	}
}
