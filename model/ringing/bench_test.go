package ringing

import (
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
)

// BenchmarkAnalyse takes captures of a scope's usual memory depths.
func BenchmarkAnalyse(b *testing.B) {
	for _, c := range []struct {
		name string
		invented
	}{
		{"decay/4k", invented{n: 4000, interval: 4e-9, tones: []sine{natural(1, 1.5e6, 50, 1)}, sigma: 0.007, step: 0.01, pretrig: 400}},
		{"two modes/4k", invented{n: 4000, interval: 1e-8, tones: []sine{natural(1, 2.5e6, 120, 1), natural(0.9, 2.85e6, 120, 2)}, sigma: 0.005, step: 0.01, pretrig: 300}},
		{"decay/10M", invented{n: 1e7, interval: 4e-10, tones: []sine{natural(1, 1.5e6, 150, 1)}, sigma: 0.007, step: 0.01, pretrig: 1e6}},
		{"bursts/10M", invented{n: 1e7, interval: 4e-9, tones: []sine{natural(1, 1.5e6, 150, 1)}, sigma: 0.007, step: 0.01, every: 5e5}},
		{"steady/10M", invented{n: 1e7, interval: 4e-9, tones: []sine{{1, 21.5e6, 0, 1}}, sigma: 0.02, step: 0.01}},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := c.signal(rand.New(rand.NewPCG(1, 2)))
			b.ReportAllocs()
			b.SetBytes(int64(8 * c.n))
			for b.Loop() {
				must.Get(Analyse(s, Settings{})).In(b)
			}
		})
	}
}
