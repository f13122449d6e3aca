package main

import (
	"strings"

	"fitcoil/ioformat/known"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

func nextVerb() *verb {
	var want, have string
	var howMany, most int
	return &verb{
		name: "next", args: "LOG --for GOAL", brief: "what to read or measure next", least: 1, most: 1,
		about: `
Ranks what could be done by the uncertainty it would leave: a reading with up
to two parts of the log or of --have, or with a new capacitor, with each core
and hand distance of the log; a part measured at a meter; the winding measured.`,
		details: `
The goal is L, C, gain, hand, a name of the JSON output (core_gain:rod), or the
frequency of a state (frequency@added=3.3pF,core=rod). What lowers its
uncertainty by less than a twentieth is not listed.`,
		example: []string{
			"fitcoil next testdata/lighthouse.csv --for L --have 1pF,22pF,47pF",
			"fitcoil next testdata/lighthouse.csv --for frequency@core=rod,added=3.3pF",
		},
		flags: func(c *call) {
			c.flags.Var(once(&want), "for", "`goal`: L, C, gain, hand, frequency@STATE or a name; that of a quantity in JSON, as core_gain:rod")
			c.flags.Var(once(&have), "have", "`parts` at hand, such as 1pF,2.2pF±1%; a part of the log with a better tolerance counts as measured again")
			c.flags.Var(whole(&howMany, 1, 1, 20), "how-many", "plan this `number` of readings, up to 20 (default 1)")
			c.flags.Var(whole(&most, 10, 1, 1000), "list", "list this `number` of candidates (default 10)")
			logFlags(c)
			earlierFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error {
			if want == "" {
				return c.verb.usage("next needs --for: L, C, gain, hand or frequency@STATE, as --for L")
			}
			in, err := c.readLog(c.args[0])
			if err != nil {
				return err
			}
			s := in.log.States()
			bench := decisions.Bench{Buy: true, Tolerance: in.opt.StandardUncertainty()}
			for _, part := range strings.FieldsFunc(have, func(r rune) bool { return r == ',' }) {
				m, known, err := s.Have(part)
				if err != nil {
					return usagef("--have: %v", err)
				}
				if known {
					bench.Measured = append(bench.Measured, m)
				}
			}
			if err := in.allUsed(s.Parts()); err != nil {
				return err
			}
			r, err := c.fit(in)
			if err != nil {
				return err
			}
			measurand, err := known.ParseMeasurand(want, r, s)
			if err != nil {
				return usagef("--for: %v", err)
			}
			bench.Parts = s.Parts()[len(r.Parts()):]
			plan := decisions.Next(r.Result, measurand, decisions.Candidates(r.Result, measurand, bench), bench.Parts, howMany)
			if plan.Unknown {
				return usagef("--for: no reading of this log has to do with %s", want)
			}
			switch {
			case c.opt.json:
				return report.NextJSON(c.out, r, plan, s.Parts(), in.src)
			case c.opt.csv:
				return report.NextCSV(c.out, plan, s.Parts())
			}
			return report.NextText(c.out, r, plan, s.Parts(), most, in.src, c.view())
		},
	}
}

// plan is what to do next for a quantity, with the parts of the log, extra ones and new
// ones; nothing where all is printed, since fitcoil next is the place for it.
func (c *call) plan(r *model.Result, in input, measurand decisions.Measurand, extra ...readings.Part) decisions.Planned {
	const most = 200 // parts, whose pairs are all tried
	if c.opt.full || c.opt.json || len(r.Parts()) > most {
		return decisions.Planned{}
	}
	bench := decisions.Bench{Buy: true, Parts: extra, Tolerance: in.opt.StandardUncertainty()}
	return decisions.Next(r.Result, measurand, decisions.Candidates(r.Result, measurand, bench), extra, 1)
}
