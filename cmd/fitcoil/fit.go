package main

import (
	"math"
	"runtime"

	"fitcoil/fit"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func fitVerb() *verb {
	var trials, seed int
	return &verb{
		name: "fit", args: "LOG", brief: "what the coil is, from the readings of a log", least: 1, most: 1,
		about: `
Reads a bench log (CSV: frequencies and the state of the coil at each) and
prints inductance and capacitance, the effect of each core, of a hand and of
unknown parts, each with its uncertainty, what limits them and what to do next.`,
		details: `
The first lines say whether the readings are consistent with the model; what
makes the numbers doubtful stands before them. With --full come 95 %
intervals, the sources of each variance, the residual of each reading, and the
priors.`,
		example: []string{
			"fitcoil fit testdata/lighthouse.csv",
			"fitcoil fit testdata/lighthouse.csv --known inductance=1.27mH±1% --full",
		},
		flags: func(c *call) {
			logFlags(c)
			plotFlags(c)
			outputFlags(c)
			csvFlag(c)
			c.flags.Var(whole(&trials, 0, 1000, 1_000_000), "monte-carlo", "compare with this `number` of random trials at most (JCGM 101)")
			c.flags.Var(whole(&seed, 1, 0, math.MaxInt32), "seed", "`number` that random trials begin with (default 1)")
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
			if c.opt.csv {
				return report.FitCSV(c.out, r)
			}
			var m *estimation.MonteCarlo
			if trials > 0 {
				done := c.progressTo("trials at most", trials)
				m = r.MonteCarlo(fit.Trials{Most: trials, Seed: uint64(seed), Workers: runtime.GOMAXPROCS(0), Done: done})
			}
			if c.opt.json {
				return report.FitJSONWith(c.out, r, report.Extra{MonteCarlo: m}, in.src)
			}
			err = report.FitText(c.out, r, c.plan(r, in, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}), r.Parts(), in.src, c.view())
			if err != nil || m == nil {
				return err
			}
			return report.MonteCarloText(c.out, m, c.view())
		},
	}
}
