package main

import "fitcoil/ioformat/report"

func checkVerb() *verb {
	return &verb{
		name: "check", args: "LOG", brief: "how a log is understood, and what is wrong with it", least: 1, most: 1,
		about: `
Reads a log and prints each reading as it was understood, with its uncertainty
and where that comes from, without fitting. All faults are reported at once.`,
		example: []string{"fitcoil check testdata/lighthouse.csv", "fitcoil check testdata/rebuilt.csv --json"},
		flags: func(c *call) {
			readFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: (*call).check,
	}
}

// check prints the readings of a log as they are understood.
func (c *call) check() error {
	in, err := c.readLog(c.args[0])
	if err != nil {
		return err
	}
	if err := in.allUsed(in.Log.Parts); err != nil {
		return err
	}
	switch {
	case c.opt.json:
		return report.CheckJSON(c.out, in.Log, in.src)
	case c.opt.csv:
		return report.CheckCSV(c.out, in.Log)
	}
	return report.CheckText(c.out, in.Log, in.src, c.view())
}
