package report

import (
	"cmp"
	"fmt"
	"math"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

func resonatorName(r *model.Result) string {
	if r.Resonator == "lumped" {
		return "lumped (forced)"
	}
	if r.Resonator == "ladder" {
		return "coupled sections"
	}
	return "uniform line with top load"
}

// Quality says how well the model describes the readings, a clause each.
func Quality(r *model.Result) []string {
	q := r.Quality
	fits := fmt.Sprintf("%s with %s of freedom", chiSquare(q.ChiSquare), quantity.Count(q.DegreesOfFreedom, "degree"))
	if q.DegreesOfFreedom == 0 {
		fits = "no degrees of freedom: χ² has no meaning"
	}
	if !math.IsNaN(q.PValue) {
		fits += ", " + pText(q.PValue)
	}
	list := []string{q.Status.String(), fits}
	switch {
	case q.Scale >= 1.005:
		list = append(list, fmt.Sprintf("uncertainties of the readings multiplied by the Birge ratio %s", scaleText(q.Scale)))
		if e := r.Find(quantities.Key{Name: quantities.EffectiveInductance}); e.Determined {
			stated := units{}.of(e.Value, e.Uncertainty, e.Unit).Format(e.Value, e.Stated)
			list = append(list, fmt.Sprintf("with the stated ones the effective inductance would be known to ± %s %s", stated.Uncertainty, stated.Unit))
		}
		if s := scatterOfRepeats(r); s != nil {
			list = append(list, fmt.Sprintf("readings of one state scatter %s times as much as stated; test of lack of fit against that: %s", Times(s.Ratio), pText(s.PValue)))
		}
	case q.DegreesOfFreedom > 0 && q.PValue >= leastAgreement && q.Redundancy < 1:
		list = append(list, "too few readings to test their stated uncertainties: taken as stated, with wider intervals for it")
	case q.DegreesOfFreedom > 0 && q.PValue >= leastAgreement:
		list = append(list, "the readings scatter no more than stated: uncertainties as stated")
	case q.DegreesOfFreedom > 0:
		list = append(list, "the readings agree with one another, but not with what is known beforehand: uncertainties as stated")
	}
	if q.PartScale >= 1.005 {
		list = append(list, fmt.Sprintf("tolerances of the parts multiplied by %s, the ratio of the parts' errors to them", scaleText(q.PartScale)))
	}
	r.Compare()
	if a := r.Alternative; a != nil && q.DegreesOfFreedom > 0 {
		other := fmt.Sprintf("for comparison, the %s model: %s", shortName(a.Resonator), chiSquare(a.Quality.ChiSquare))
		if !math.IsNaN(a.Quality.PValue) {
			other += ", " + pText(a.Quality.PValue)
		}
		if d := a.Quality.AICc - q.AICc; !math.IsNaN(d) && !math.IsInf(d, 0) && d*(aic(&a.Quality)-aic(&q)) > 0 {
			other += fmt.Sprintf("; ΔAICc (%s − %s) = %s, %s", shortName(a.Resonator), shortName(r.Resonator), signedNumber(d), preference(d))
		}
		list = append(list, other)
	}
	return list
}

// leastAgreement is the p-value below which readings, tolerances and known values are
// not called consistent.
const leastAgreement = 0.05

// aic returns χ² + 2k of AICc = χ² + 2kn/(n − k − 1), that is without the correction for few readings, which
// may outgrow what the models differ by.
func aic(q *estimation.Quality) float64 {
	n, paid := float64(q.Readings), q.AICc-q.ChiSquare
	return q.ChiSquare + 2*paid*(n-1)/(2*n+paid)
}

// preference says what the sign of a ΔAICc means. Differences below two are not decisive, as
// is common practice (K. P. Burnham, D. R. Anderson, Model Selection and Multimodel
// Inference, 2nd ed. 2002, § 2.6).
func preference(d float64) string {
	switch {
	case d >= 2:
		return "in favour of the model used"
	case d <= -2:
		return "against the model used"
	}
	return "not decisive"
}

// chiSquare writes a sum of squares, which says nothing below some hundredths.
func chiSquare(v float64) string {
	switch {
	case v < 0.01:
		return "χ² < 0.01"
	case v >= 1e3 && v < 1e6:
		return fmt.Sprintf("χ² = %s", quantity.Decimals(v, 0))
	}
	return fmt.Sprintf("χ² = %s", quantity.Digits(v, 3))
}

// scaleText writes a factor to three digits.
func scaleText(v float64) string {
	if v < 100 {
		return quantity.Digits(v, 3)
	}
	return quantity.Decimals(v, 0)
}

// shortName is the name of a resonator within a sentence.
func shortName(resonator string) string {
	if resonator == "ladder" {
		return "coupled-section"
	}
	return resonator
}

// signedNumber writes a number with its sign, to three digits or all before the point.
func signedNumber(v float64) string {
	if math.Abs(v) >= 100 {
		return quantity.SignedDecimals(v, 0)
	}
	return quantity.SignedDigits(v, 3)
}

// pText writes a probability as such.
func pText(p float64) string {
	switch {
	case p < 1e-4:
		return "p < 0.0001"
	case p > 0.9995:
		return "p > 0.999"
	case p > 0.1:
		return fmt.Sprintf("p = %s", quantity.Decimals(p, 3))
	}
	return fmt.Sprintf("p = %s", quantity.Digits(p, 2))
}

// leastProviso is the factor on uncertainties from which an answer tells on what they hang: with
// intervals that are too narrow by less, nine of ten still hold.
const leastProviso = 1.2

// Proviso says under which assumption, that no reading can show to be wrong, the uncertainties
// hold; "" where that makes little difference, and where they hold in no case.
func Proviso(r *model.Result) string {
	factor := r.MostIfCommon()
	if factor < leastProviso || undermined(r) {
		return ""
	}
	return fmt.Sprintf("± of inductance and capacitance hold for parts that err each by itself; of one reel or one meter, up to ×\u00a0%s: write common behind their tolerance, else own", quantity.Digits(factor, 2))
}

// proviso writes it below the verdict.
func (t *text) proviso(r *model.Result) {
	if s := Proviso(r); s != "" {
		t.hang("  ", s)
	}
}

// Unsettled says that a fit found no answer, and what to do.
func Unsettled(e *estimation.NotConvergedError) string {
	why := map[fit.Status]string{
		fit.RoundingLimited: "its last digits do not settle",
		fit.IterationLimit:  "the search went on and on",
		fit.Runaway:         "a quantity ran off to where no reading depends on it",
		fit.StartNotFinite:  "a value is too large or too small to compute with",
	}[e.Status]
	text := "the readings lead to no answer to vouch for: " + cmp.Or(why, "the search for it did not settle") + "; "
	if e.Raised != [2]int{} {
		return text + fmt.Sprintf("line %d has more on the top or a hand nearer than line %d, and a higher frequency, which no capacitance makes: one of the two is misread, or of another resonance, or its state is another than written", e.Raised[1], e.Raised[0])
	}
	return text + "look with fitcoil check for a misread value, a wrong unit or a known value that can't be"
}
