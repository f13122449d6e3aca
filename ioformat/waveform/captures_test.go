package waveform

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"fitcoil/internal/golden"
	"fitcoil/internal/must"
	"fitcoil/model/quantities"
	"fitcoil/model/ringing"
)

// The invented ring-down of the coil in the model lighthouse: struck at t = 0,
// seen through a pickup probe by an 8-bit scope with 20 mV a code.
const (
	lighthouseFrequency = 2.5243e6 // Hz, undamped
	lighthouseQuality   = 84.0
	lighthouseAmplitude = 2.1   // V
	lighthouseOffset    = 0.06  // V
	lighthouseNoise     = 0.012 // V
	lighthouseCode      = 0.02  // V
)

// lighthouse returns n samples of it, before of them in front of the blow.
func lighthouse(n, before int, interval float64) []float64 {
	rng := rand.New(rand.NewPCG(1903, 11))
	w0 := 2 * math.Pi * lighthouseFrequency
	alpha := w0 / (2 * lighthouseQuality)
	w := math.Sqrt(w0*w0 - alpha*alpha)
	y := make([]float64, n)
	for i := range y {
		v := lighthouseOffset + lighthouseNoise*rng.NormFloat64()
		if t := float64(i-before) * interval; t >= 0 {
			v += lighthouseAmplitude * math.Exp(-alpha*t) * math.Sin(w*t)
		}
		y[i] = lighthouseCode * math.Round(v/lighthouseCode)
	}
	return y
}

// captureFiles writes the same ring-down as scopes of several kinds would.
func captureFiles() map[string][]byte {
	files := map[string][]byte{}
	var b strings.Builder
	b.WriteString("Instrument,bench oscilloscope (invented)\nCapture,lighthouse coil ring-down\n" +
		"Record length,2000,points\nSample interval,1.0E-08,s\nTrigger point,200,points\n" +
		"Source,CH1\nProbe,10,x\nCoupling,AC\n\nTime [s],CH1 [V]\n")
	for i, y := range lighthouse(2000, 200, 1e-8) {
		fmt.Fprintf(&b, "%.5e,%.2f\n", float64(i-200)*1e-8, y)
	}
	files["lighthouse-ringdown.csv"] = []byte(b.String())

	// Decimal comma, µ of Windows-1252, units in a row of their own, times in
	// so few digits that neighbours look alike.
	b.Reset()
	b.WriteString("Gerät;Messplatz (erfunden)\r\nZeit;Kanal 1\r\n(\xb5s);(mV)\r\n\r\n")
	for i, y := range lighthouse(700, 70, 2.5e-8) {
		row := fmt.Sprintf("%.2f;%.0f\r\n", float64(i-70)*0.025, 1000*y)
		b.WriteString(strings.ReplaceAll(row, ".", ","))
	}
	files["decimal-comma.csv"] = []byte(strings.ReplaceAll(b.String(), "ä", "\xe4"))

	// Settings stand beside the first samples.
	b.Reset()
	settings := []string{"Record Length,700,Points", "Sample Interval,2.5e-08,s", "Trigger Point,70,Samples",
		",,", ",,", ",,", "Source,CH2,", "Vertical Units,V,", "Vertical Scale,0.5,", "Horizontal Units,s,"}
	for i, y := range lighthouse(700, 70, 2.5e-8) {
		beside := ",,"
		if i < len(settings) {
			beside = settings[i]
		}
		fmt.Fprintf(&b, "%s,%013.9f,%8.4f,\r\n", beside, float64(i-70)*2.5e-8, y)
	}
	files["settings-beside.csv"] = []byte(b.String())

	// Row numbers in place of times, the interval in the header.
	b.Reset()
	b.WriteString("X,CH1,Start,Increment,\nSequence,Volt,-1.750e-06,2.500e-08\n")
	for i, y := range lighthouse(700, 70, 2.5e-8) {
		fmt.Fprintf(&b, "%d,%.2e,,\n", i, y)
	}
	files["row-numbers.csv"] = []byte(b.String())

	// UTF-16 with tabs, two channels, the second of them quiet.
	b.Reset()
	b.WriteString("Time (us)\tCH1 (V)\tCH2 (V)\r\n")
	for i, y := range lighthouse(700, 70, 2.5e-8) {
		fmt.Fprintf(&b, "%.3f\t%.2f\t%.2f\r\n", float64(i-70)*0.025, y, 0.02*float64(i%3))
	}
	wide := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(b.String())) {
		wide = binary.LittleEndian.AppendUint16(wide, u)
	}
	files["two-channels-utf16.txt"] = wide

	// A rate in the preamble, voltages alone, and rails at ±1.2 V.
	b.Reset()
	b.WriteString("# invented\nSample rate: 40 MSa/s\nCH1 [V]\n")
	for _, y := range lighthouse(700, 70, 2.5e-8) {
		fmt.Fprintf(&b, "%.2f\n", math.Max(-1.2, math.Min(1.2, y)))
	}
	files["clipped.csv"] = []byte(b.String())
	return files
}

// The captures in testdata are what the functions above make, and each gives
// the coil back, however it is written.
func TestCaptures(t *testing.T) {
	for name, want := range captureFiles() {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("..", "..", "testdata", "captures", name)
			if golden.Updating() {
				must.Do(t, os.WriteFile(path, want, 0o666))
			}
			got := must.Get(os.ReadFile(path)).In(t)
			if !bytes.Equal(got, want) {
				t.Error("the file isn't what it says it is")
			}
			opt := Options{}
			if strings.HasPrefix(name, "two") {
				opt.Column = "ch1"
			}
			c := must.Get(readOne(bytes.NewReader(got), name, opt)).In(t)
			r := must.Get(ringing.Analyse(c.Signal, ringing.Settings{})).In(t)
			t.Logf("interval %.6g ± %.2g s, f_0 %.7g ± %.2g Hz, Q %.4g ± %.2g, notes %q %v",
				c.Signal.Interval, c.Signal.IntervalUncertainty, r.Resonance.Value, r.Resonance.Uncertainty,
				r.Quality.Value, r.Quality.Uncertainty, c.Notes, r.Notes)
			for _, e := range []struct {
				what string
				quantities.Estimate
				want float64
			}{
				{"f_0", r.Resonance, lighthouseFrequency},
				{"Q", r.Quality, lighthouseQuality},
				{"offset", r.Offset, lighthouseOffset},
			} {
				if !(math.Abs(e.Value-e.want) <= 3.5*e.Uncertainty) {
					t.Errorf("%s = %.8g ± %.2g, want %.8g", e.what, e.Value, e.Uncertainty, e.want)
				}
			}
			if len(r.Bursts) != 1 || r.Amplitude.Value < 1.9 || r.Amplitude.Value > 2.12 {
				t.Errorf("%d bursts, amplitude %g V", len(r.Bursts), r.Amplitude.Value)
			}
		})
	}
}
