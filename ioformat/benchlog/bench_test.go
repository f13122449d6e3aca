package benchlog

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/repeat"
)

// counterLog is what a frequency counter left running for a million readings
// would write.
func counterLog(rows int) []byte {
	random := rand.New(rand.NewPCG(3, 4))
	states := []string{",,,", "4.7,,,", "4.7+10,,,", "4.7,rod,60,", ",rod,,20"}
	var b bytes.Buffer
	b.WriteString("frequency [kHz],frequency ± [Hz],added [pF],core,covered [%],hand [cm]\n")
	for i := range rows {
		fmt.Fprintf(&b, "%.3f,%d,%s\n", 1500+random.NormFloat64(), 20+random.IntN(9), states[i*len(states)/rows])
	}
	return b.Bytes()
}

func BenchmarkReadMillion(b *testing.B) {
	content := counterLog(1_000_000)
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		l, err := Read(bytes.NewReader(content), "log.csv", Options{})
		if err != nil || l.Count() != 1_000_000 {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadMillionEach keeps every reading.
func BenchmarkReadMillionEach(b *testing.B) {
	content := counterLog(1_000_000)
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		l, err := Read(bytes.NewReader(content), "log.csv", Options{Each: true})
		if err != nil || len(l.Readings) != 1_000_000 {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadTwenty(b *testing.B) {
	content := counterLog(20)
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		must.Get(Read(bytes.NewReader(content), "log.csv", Options{})).In(b)
	}
}

// BenchmarkSplitMillion is what encoding/csv alone takes for the same log.
func BenchmarkSplitMillion(b *testing.B) {
	content := counterLog(1_000_000)
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		r := csv.NewReader(bytes.NewReader(content))
		r.ReuseRecord = true
		for {
			if _, err := r.Read(); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
	}
}

// TestAllocations: a row costs no more than the string that encoding/csv makes of
// it, whatever state it is in.
func TestAllocations(t *testing.T) {
	if repeat.Race {
		t.Skip("the race detector allocates")
	}
	allocations := func(rows int) float64 {
		content := counterLog(rows)
		return testing.AllocsPerRun(1, func() {
			must.Get(Read(bytes.NewReader(content), "log.csv", Options{})).In(t)
		})
	}
	const few, more = 2 * mostKept, 10_000
	if each := (allocations(few+more) - allocations(few)) / more; each > 1.02 {
		t.Errorf("%.3f allocations for each row, not 1", each)
	}
}
