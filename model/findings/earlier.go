package findings

import (
	"fitcoil/fit"
	"fitcoil/model/estimation"
)

// earlierLevel is the probability below which chance isn't taken for the reason why a session
// and those before it disagree.
const earlierLevel = 0.01

// CheckEarlier tells whether the readings contradict earlier sessions: with these, χ²
// rises by more over theirs than chance lets it for as many readings, and without them nothing
// is wrong.
func CheckEarlier(r *estimation.Result) (f Finding, found bool) {
	if r.Session.Earlier == nil {
		return f, false
	}
	squares, freedom := r.Quality.ChiSquare, float64(r.Quality.DegreesOfFreedom)
	for i := range r.Session.Earlier {
		squares -= r.Session.Earlier[i].Squares
		freedom -= r.Session.Earlier[i].Freedom
	}
	if !(freedom >= 1) || squares <= 0 {
		return f, false
	}
	p := fit.ChiSquareSurvival(squares, freedom)
	if !(p < earlierLevel) {
		return f, false
	}
	s := r.Session
	s.Earlier = nil
	alone, err := estimation.Fit(s)
	if err != nil || alone.Quality.DegreesOfFreedom > 0 && alone.Quality.PValue < 0.05 {
		return f, false
	}
	return Finding{Kind: EarlierContradicts, Name: r.Session.Earlier[len(r.Session.Earlier)-1].Log, Value: p}, true
}
