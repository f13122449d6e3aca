package waveform

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/ringing"
)

// tenMillion is an invented capture of 10⁷ rows: a coil that rings down, in
// millivolts of an eight-bit converter.
func tenMillion() []byte {
	const rows, interval, frequency, quality = 1e7, 4e-10, 1.5e6, 150
	rng := rand.New(rand.NewPCG(1, 2))
	b := make([]byte, 0, 27*int(rows))
	b = append(b, "Time [s],CH1 [V]\n"...)
	for i := range int(rows) {
		t := float64(i) * interval
		y := rng.NormFloat64() * 0.02
		if t > 1e-4 {
			w := 2 * math.Pi * frequency
			y += 2 * math.Exp(-w*(t-1e-4)/(2*quality)) * math.Cos(w*t)
		}
		b = strconv.AppendFloat(b, t, 'e', 8, 64)
		b = append(b, ',')
		b = strconv.AppendFloat(b, 0.02*math.Round(y/0.02), 'f', 3, 64)
		b = append(b, '\n')
	}
	return b
}

// BenchmarkTenMillion compares reading and analysing a capture with merely
// turning its numbers into floats.
func BenchmarkTenMillion(b *testing.B) {
	file := tenMillion()
	b.Run("parse", func(b *testing.B) {
		b.SetBytes(int64(len(file)))
		b.ReportAllocs()
		for b.Loop() {
			parseOnly(b, file)
		}
	})
	b.Run("read", func(b *testing.B) {
		b.SetBytes(int64(len(file)))
		b.ReportAllocs()
		for b.Loop() {
			c, err := readOne(bytes.NewReader(file), "invented.csv", Options{})
			if err != nil || len(c.Signal.Samples) != 1e7 {
				b.Fatal(err)
			}
		}
	})
	b.Run("read and analyse", func(b *testing.B) {
		b.SetBytes(int64(len(file)))
		b.ReportAllocs()
		for b.Loop() {
			c := must.Get(readOne(bytes.NewReader(file), "invented.csv", Options{})).In(b)
			must.Get(ringing.Analyse(c.Signal, ringing.Settings{})).In(b)
		}
	})
}

// parseOnly is the least that a program does with such a file.
func parseOnly(b *testing.B, file []byte) []float64 {
	volts := make([]float64, 0, 1e7)
	_, rest, _ := bytes.Cut(file, []byte("\n"))
	for len(rest) > 0 {
		var line []byte
		line, rest, _ = bytes.Cut(rest, []byte("\n"))
		t, v, _ := bytes.Cut(line, []byte(","))
		_, err := strconv.ParseFloat(string(t), 64)
		y, err2 := strconv.ParseFloat(string(v), 64)
		if err != nil || err2 != nil {
			b.Fatal(err, err2)
		}
		volts = append(volts, y)
	}
	return volts
}
