package decisions

import (
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// How much a core covers is told of where it was read, from its lower end to its upper.
func TestCoveredOutside(t *testing.T) {
	r := tried(t, 47, simulated.Added().Rod(0.6))
	for i := range r.Session.Log.Readings {
		if s := &r.Session.Log.Readings[i].State; s.Core != "" && s.To == 0.6 {
			s.From = 0.2
		}
	}
	s := readings.Bare()
	s.Core, s.From, s.To = "rod", 0.5, 0.8
	for _, o := range Beyond(r, s) {
		if o.Element == CoveredElement {
			near.To(t, "least read", o.From, 0.4, 1e-12)
			near.To(t, "most read", o.To, 1, 1e-12)
			near.To(t, "asked for", o.Predicted, 0.3, 1e-12)
			return
		}
	}
	t.Error("30 % covered is within 40 to 100 %")
}
