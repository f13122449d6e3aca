package main

import (
	"slices"

	"fitcoil/ioformat/known"
	"fitcoil/ioformat/report"
)

func budgetVerb() *verb {
	var want string
	return &verb{
		name: "budget", args: "LOG --for QUANTITY", brief: "where the uncertainty of a quantity comes from", least: 1, most: 1,
		about: `
Lists the input quantities of one result, each reading, tolerance, prior and
known value, with its standard uncertainty, the sensitivity of the result, and
what it contributes. The squares of the contributions sum to the square of the
standard uncertainty that fit prints (GUM, JCGM 100:2008, 5.1).`,
		details: `
The quantity is L, C, gain, hand, a name of the JSON output (core_gain:rod), or
the frequency of a state (frequency@added=3.3pF,core=rod).
In brief, readings are put together by what was read, and inputs with less than
a thousandth of the variance are left out; --full lists all.`,
		example: []string{
			"fitcoil budget testdata/lighthouse.csv --for L",
			"fitcoil budget testdata/lighthouse.csv --for core_gain:rod --csv",
		},
		flags: func(c *call) {
			c.flags.Var(once(&want), "for", "`quantity`: L, C, gain, hand or the name of one in JSON, as core_gain:rod")
			logFlags(c)
			earlierFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error {
			if want == "" {
				return c.verb.usage("budget needs --for: L, C, gain, hand or a name of the JSON output, as --for L")
			}
			in, r, err := c.fitted(c.args[0])
			if err != nil {
				return err
			}
			s := in.log.States()
			measurand, err := known.ParseMeasurand(want, r, s)
			if err != nil {
				return usagef("--for: %v", err)
			}
			var b report.Budget
			switch b.Estimate = r.Find(measurand.Key); {
			case b.Estimate != nil:
				b.Inputs = r.Budget(b.Estimate)
				if slices.Contains(r.Curved(), b.Estimate) {
					p := r.ProfileOf(b.Estimate)
					p.Quote()
				}
			case measurand.Name != "frequency":
				return usagef("--for: no reading of this log has to do with %s", want)
			default:
				b.State, b.Parts = &measurand.State, s.Parts()
				e, inputs := r.FrequencyBudget(measurand.State, b.Parts[len(r.Parts()):])
				b.Estimate, b.Inputs = &e, inputs
			}
			switch {
			case c.opt.json:
				return report.BudgetJSON(c.out, r, b, in.src)
			case c.opt.csv:
				return report.BudgetCSV(c.out, b)
			}
			return report.BudgetText(c.out, r, b, in.src, c.view())
		},
	}
}
