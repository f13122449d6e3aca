package findings

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/estimation"
)

// pulls tells which parts and known values disagree with the readings, by how
// many standard deviations of its own the fit had to move each. Of the parts
// only the worst is named, with those nearly as bad: a part far off drags the
// others along.
func pulls(r *estimation.Result) (out []Finding) {
	p := r.Problem
	rows := fit.Must(fit.Diagnose(p.Problem, r.Solution))[len(p.Rows):]
	worst := partOff(r)
	for i, o := range p.Origins {
		if o == estimation.FromTolerance {
			worst = math.Max(worst, math.Abs(rows[i].Studentised)/2)
		}
	}
	for i, o := range p.Origins {
		pull := rows[i].Studentised
		switch o {
		case estimation.FromTolerance:
			part := p.PriorOf[i]
			if math.Abs(pull) > worst {
				out = append(out, Finding{Kind: PartOffTolerance, Name: p.Parts[part].Name, Value: partByOthers(p, r.Solution.X, part, rows[i].Leverage), Other: pull, row: i})
			}
		case estimation.FromKnown:
			k := p.Knowns[i-(len(p.Origins)-len(p.Knowns))]
			if math.Abs(pull) > knownOff {
				out = append(out, Finding{Kind: KnownContradicts, Name: k.Name, Value: k.Value, Other: pull, Drawn: k.Drawn, row: i})
			}
		}
	}
	return out
}

// partByOthers returns what all but its own stated value make of part i [F]: the
// deleted residual of a prior row of that leverage, put on the nominal value.
func partByOthers(p *estimation.Problem, x []float64, i int, leverage float64) float64 {
	part := p.Parts[i]
	k := p.PartAt[i]
	own, _ := p.Split(i)
	return part.Capacitance * math.Exp((p.PartError(x, i)+own*x[k]*leverage/(1-leverage))*p.Relative(i))
}

// partOff is how many standard deviations a part is moved before it is called off: as
// chance does in 1 % of sessions, over all parts (Bonferroni).
func partOff(r *estimation.Result) float64 {
	n := 0
	for _, o := range r.Problem.Origins {
		if o == estimation.FromTolerance {
			n++
		}
	}
	return fit.CoverageFactor(1-0.01/float64(max(1, n)), math.Inf(1))
}

// knownOff is the same for a known value, which chance moves so far in 0.3 %: none of 200 true
// ones is said to contradict, of 200 that are 6 u off 174 are (TestWhatIsTold).
const knownOff = 3.0
