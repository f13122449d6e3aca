package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/near"
)

// The density of an autoregressive process of second order, found from its
// samples, against the formula that made them.
func TestColour(t *testing.T) {
	const n, a1, a2, sd = 40000, 1.5, -0.8, 0.3
	rng := rand.New(rand.NewPCG(2, 2))
	next := autoregressive(a1, a2, sd)(rng)
	y := make([]float64, n)
	for i := range y {
		y[i] = next()
	}
	c := colourOf(average(y, 1, 0, 1, nil), y, 0)
	near.To(t, "variance", c.variance, sd*sd, 0.05*sd*sd)
	w := sd * sd * (1 + a2) * ((1-a2)*(1-a2) - a1*a1) / (1 - a2)
	for _, theta := range []float64{0.1, 0.577, 1, 2, 3} {
		sin1, cos1 := math.Sincos(theta)
		sin2, cos2 := math.Sincos(2 * theta)
		want := w / (math.Pow(1-a1*cos1-a2*cos2, 2) + math.Pow(a1*sin1+a2*sin2, 2))
		near.To(t, "density", c.density(theta), want, 0.1*want)
	}
	// The mean of the density over all frequencies is the variance.
	mean := 0.0
	for i := range 2048 {
		mean += c.density(math.Pi*(float64(i)+0.5)/2048) / 2048
	}
	near.To(t, "mean density", mean, c.variance, 1e-6)
}

func TestWhiteNoiseStaysWhite(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	coloured := 0
	for range 200 {
		y := make([]float64, 400)
		for i := range y {
			y[i] = rng.NormFloat64()
		}
		if !colourOf(average(y, 1, 0, 1, nil), y, 0).white() {
			coloured++
		}
	}
	if coloured > 20 {
		t.Errorf("%d of 200 white records are called coloured", coloured)
	}
}

// Of tones in short records of red noise, frequency and quality factor err as they say.
func TestShortRecordsInRedNoise(t *testing.T) {
	const interval, frequency, quality = 20e-9, 2.5e6, 20.0
	omega := 2 * math.Pi * frequency
	for _, rho := range []float64{0.8, 0.95} {
		var squares [2]float64
		const records = 100
		for seed := range uint64(records) {
			rng := rand.New(rand.NewPCG(seed, 2))
			phase, noise := 2*math.Pi*rng.Float64(), autoregressive(rho, 0, 0.02)(rng)
			y := make([]float64, 150)
			for i := range y {
				at := float64(i) * interval
				y[i] = math.Exp(-omega*at/2/quality)*math.Sin(omega*at+phase) + noise()
			}
			r, err := Analyse(Signal{Samples: y, Interval: interval}, Settings{})
			if err != nil || !r.Quality.Determined {
				t.Fatal(err, r)
			}
			squares[0] += math.Pow((r.Frequency.Value-frequency)/r.Frequency.Uncertainty, 2) / records
			squares[1] += math.Pow((r.Quality.Value-math.Sqrt(quality*quality+0.25))/r.Quality.Uncertainty, 2) / records
		}
		for k, name := range []string{"frequency", "quality factor"} {
			if z := math.Sqrt(squares[k]); z < 0.8 || z > 1.25 {
				t.Errorf("ρ %v: %s off by %.2f of its standard uncertainties", rho, name, z)
			}
		}
	}
}
