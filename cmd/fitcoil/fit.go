package main

import (
	"math"
	"runtime"

	"fitcoil/fit"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func fitVerb() *verb {
	var trials, seed int
	var profile bool
	return &verb{
		name: "fit", args: "LOG...", brief: "what the coil is, from the readings of a log", least: 1, most: -1,
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
			earlierFlags(c)
			plotFlags(c)
			outputFlags(c)
			csvFlag(c)
			c.flags.Var(whole(&trials, 0, 1000, 1_000_000), "monte-carlo", "compare with at most this `number` of random trials; JCGM 101")
			c.flags.BoolVar(&profile, "profile", false, "compare with 95 % intervals by profile likelihood")
			c.flags.Var(whole(&seed, 1, 0, math.MaxInt32), "seed", "`number` that random trials begin with (default 1)")
		},
		do: func(c *call) error {
			if len(c.args) > 1 {
				if c.opt.plots != "" || trials > 0 || profile || c.opt.earlier != nil {
					return c.verb.usage("--plots, --profile, --monte-carlo and --known-from are for one log")
				}
				return c.sessions()
			}
			in, r, err := c.fitted(c.args[0])
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
			extra, err := c.extra(r, trials, seed, profile)
			switch {
			case err != nil:
				return err
			case c.opt.json:
				return report.FitJSONWith(c.out, r, extra, in.src)
			}
			err = report.FitText(c.out, r, c.plan(r, in, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}), r.Parts(), in.src, c.view())
			if err != nil {
				return err
			}
			return report.ExtraText(c.out, extra, c.view())
		},
	}
}

// extra works out what a fit is asked for besides.
func (c *call) extra(r *model.Result, trials, seed int, profile bool) (e report.Extra, err error) {
	if profile {
		done := func(int, int) {}
		if c.terminal {
			var tell func(int)
			done = func(i, n int) {
				if tell == nil {
					tell = c.progressTo("profiles", n)
				}
				tell(i)
			}
		}
		var ok bool
		if e.Profiles, ok = r.Profiles(done); !ok {
			return e, usagef("--profile: this log has too many unknowns; use --monte-carlo")
		}
	}
	if trials > 0 {
		e.MonteCarlo = r.MonteCarlo(fit.Trials{Most: trials, Seed: uint64(seed), Workers: runtime.GOMAXPROCS(0), Done: c.progressTo("trials at most", trials)})
	}
	return e, nil
}
