package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Budget is the uncertainty budget of an estimate.
type Budget struct {
	Estimate *quantities.Estimate
	Inputs   []estimation.Input // none where the estimate has no standard uncertainty
	State    *readings.State    // whose frequency it is; nil for a quantity of the coil
	Parts    []readings.Part    // that State refers to
}

// BudgetText writes a budget as a table.
func BudgetText(w io.Writer, r *model.Result, b Budget, src Source, v View) error {
	return written(w, v, func(t *text, terse int) {
		e := b.Estimate
		if len(b.Inputs) == 0 {
			why := "not determined by these readings"
			if e.Determined {
				why = "at its bound: it has no standard uncertainty"
			}
			t.line(fmt.Sprintf("%s: %s is %s.", src.Log, b.label(), why))
			return
		}
		u := unitsOf([]quantities.Estimate{*e}).estimate(e, e.Uncertainty)
		t.line(fmt.Sprintf("%s: uncertainty budget of %s", src.Log, b.label()))
		tell := t.under
		if t.warnings(r, src, terse) {
			t.blank()
			tell = t.line
		}
		tell(fmt.Sprintf("y = %s; 95 %% interval %s, k = %s%s", u.Format(e.Value, e.Uncertainty),
			intervalText(e, u), quantity.Digits(e.Coverage, 3), degrees(e.Degrees)))
		t.blank()
		list, most := b.Inputs, len(b.Inputs)
		if terse != everything {
			list, most = estimation.Summary(list), max(3, mostInputs-4*terse)
		}
		t.table(budgetTable(list, e, u, most, terse == everything))
		t.blank()
		t.line("u(x): standard uncertainty of the input, ln: of its logarithm; c: sensitivity dy/dx; u(y) = c u(x).")
		if terse != everything {
			t.line("Each reading by itself: --full.")
		}
	})
}

// label names what the budget is of.
func (b *Budget) label() string {
	if b.State != nil {
		return "the frequency, " + wording.State(*b.State, b.Parts)
	}
	return fullLabel(b.Estimate)
}

// fullLabel is longLabel, as fit prints L and C.
func fullLabel(e *quantities.Estimate) string {
	if e.Part != "" {
		return "the capacitance of " + e.Part
	}
	return wording.QuantityOf(e)
}

func degrees(v float64) string {
	if v > 1e3 { // as good as infinite
		return ""
	}
	return fmt.Sprintf(" (%s degrees of freedom)", quantity.Decimals(v, 0))
}

// intervalText writes the 95 % interval of e in units of u.
func intervalText(e *quantities.Estimate, u quantity.Unit) string {
	s := u.End(e.Interval[0], e.Uncertainty) + " to " + u.End(e.Interval[1], e.Uncertainty)
	if u.Symbol != "" {
		s += " " + u.Symbol
	}
	if e.ByProfile {
		s += " by profile likelihood"
	}
	return s
}

const (
	smallShare = 1e-3 // of a variance, below which a line is left out in brief
	mostInputs = 19   // lines in brief
	nothing    = 1e-6 // of an uncertainty, below which a contribution is what rounding leaves of none: fits end at 1e-3
)

// budgetTable has a line for each of the first inputs, and the sum.
func budgetTable(list []estimation.Input, e *quantities.Estimate, u quantity.Unit, most int, full bool) *Table {
	t := newTable(left("input"), right("value"), right("u(x)"), right("c"), right("u(y)"), right("share"))
	contribution := func(v float64) string {
		return fmt.Sprintf("%s %s", quantity.FormatValue(u.FromSI(v), 2, ""), u.Symbol)
	}
	left, share, sum := 0, 0.0, 0.0
	for i, in := range list {
		sum += in.Contribution * in.Contribution
		if !full && (in.Share < smallShare || i >= most) {
			left++
			share += in.Share
			continue
		}
		value, ux, c := inputCells(&in, u)
		if math.Abs(in.Contribution) < nothing*e.Uncertainty {
			t.row(inputName(&in, full), value, ux, "0", "0", percents(0))
			continue
		}
		t.row(inputName(&in, full), value, ux, c, contribution(in.Contribution), percents(in.Share))
	}
	if left > 0 {
		t.row(quantity.Count(left, "more input"), "", "", "", contribution(math.Sqrt(share)*e.Uncertainty), percents(share))
	}
	t.row("y, root sum of squares", u.Format(e.Value, e.Uncertainty).Value+" "+u.Symbol, "", "", contribution(math.Sqrt(sum)), "100 %")
	return t
}

func percents(share float64) string {
	if share > 0 && share < 5e-4 {
		return "< 0.1 %"
	}
	return quantity.Decimals(100*share, 1) + " %"
}

// inputName names an input; in full a reading with its line.
func inputName(in *estimation.Input, full bool) string {
	if full && in.Line > 0 {
		return fmt.Sprintf("line %d, %s", in.Line, strings.TrimPrefix(wording.Source(&in.Source), "1 reading "))
	}
	return wording.Source(&in.Source)
}

// inputCells writes value, uncertainty and sensitivity of an input in units that suit it; u is
// that of the result.
func inputCells(in *estimation.Input, u quantity.Unit) (value, ux, c string) {
	if math.IsNaN(in.Uncertainty) { // several
		return "", "", ""
	}
	x := units{picofarads: true}.of(in.Value, in.Uncertainty, in.Unit)
	switch {
	case in.Logarithmic:
		return quantity.FormatValue(in.Value, 3, quantity.BaseUnit(in.Unit)).String(), fmt.Sprintf("ln: %s", quantity.Digits(in.Uncertainty, 2)), perUnit(u.FromSI(in.Sensitivity), u.Symbol, "")
	case in.Unit == "1" && in.Value == 0: // a relative error
		return "0", quantity.Digits(100*in.Uncertainty, 2) + " %", perUnit(u.FromSI(in.Sensitivity)/100, u.Symbol, "%")
	}
	f := x.Format(in.Value, in.Uncertainty)
	value, ux = f.Value, f.Uncertainty
	if f.Unit != "" {
		value, ux = value+" "+f.Unit, ux+" "+f.Unit
	}
	return value, ux, perUnit(u.FromSI(in.Sensitivity)*x.ToSI(1), u.Symbol, f.Unit)
}

// perUnit writes a sensitivity.
func perUnit(v float64, of, per string) string {
	s := quantity.FormatValue(v, 2, "").String()
	switch {
	case per == "":
		return strings.TrimRight(s+" "+of, " ")
	case of == "":
		return s + " /" + per
	}
	return s + " " + of + "/" + per
}

type jsonBudgets struct {
	Schema int    `json:"schema"`
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
	jsonOrigin
	Quantity jsonEstimate `json:"quantity"`
	State    *jsonState   `json:"state,omitempty"`
	Inputs   []jsonInput  `json:"input_quantities"`
	jsonTold
}

type jsonInput struct {
	Name         string   `json:"name"`
	Line         int      `json:"line,omitempty"`
	Value        *float64 `json:"value,omitempty"`
	Unit         string   `json:"unit,omitempty"`
	Logarithmic  bool     `json:"logarithmic,omitempty"`
	Uncertainty  *float64 `json:"standard_uncertainty,omitempty"`
	Degrees      *float64 `json:"degrees_of_freedom,omitempty"`
	Sensitivity  *float64 `json:"sensitivity,omitempty"`
	Contribution float64  `json:"contribution"`
	Share        float64  `json:"share"`
}

// BudgetJSON writes the same as one JSON object, each reading by itself, SI throughout.
func BudgetJSON(w io.Writer, r *model.Result, b Budget, src Source) error {
	out := jsonBudgets{Schema: Schema, Log: src.Log, SHA256: src.SHA256, jsonOrigin: origin(src),
		Quantity: estimate(b.Estimate), jsonTold: src.told(r),
		Inputs: each(b.Inputs, func(in *estimation.Input) jsonInput {
			return jsonInput{inputName(in, true), in.Line, number(in.Value), in.Unit, in.Logarithmic, number(in.Uncertainty), number(in.Degrees),
				number(in.Sensitivity), in.Contribution, in.Share}
		})}
	if b.State != nil {
		s := state(*b.State, b.Parts)
		out.State = &s
	}
	return writeJSON(w, out)
}

// BudgetCSV writes the result and below it each input, whose columns begin as those of any tidy
// table; an input is of the result.
func BudgetCSV(w io.Writer, b Budget) error {
	var t tidy
	of := of(b.Estimate)
	if b.State != nil {
		of = wording.State(*b.State, b.Parts)
	}
	t.add(b.Estimate, of)
	t[0] = append(t[0], "", "", "", "", "")
	for _, in := range b.Inputs {
		line, logarithmic := "", ""
		if in.Line > 0 {
			line = fmt.Sprint(in.Line)
		}
		t.read(inputName(&in, true), b.Estimate.Name, in.Value, in.Uncertainty, in.Unit)
		row := &t[len(t)-1]
		(*row)[8] = csvNumber(in.Degrees)
		if in.Logarithmic {
			logarithmic, (*row)[9] = "yes", "" // u is not of the value itself
		}
		*row = append(*row, line, logarithmic, csvNumber(in.Sensitivity), csvNumber(in.Contribution), csvNumber(in.Share))
	}
	return writeCSV(w, append(tidyHead(), "line", "logarithmic", "sensitivity", "contribution", "share"), t)
}
