package benchlog

import (
	"strings"
	"testing"
)

// A value far from the others, or from any bench, is told with its line.
func TestFarOffIsTold(t *testing.T) {
	for _, c := range [][2]string{
		{"frequency [MHz],hand [cm]\n2.5,10\n2.5,\n2.5,20\n2.4,500\n", "a.csv:5: a distance of the hand of 5.000 m is far outside of what is seen on a bench: is the unit right?"},
		{"frequency [MHz],hand [cm]\n2.5,10\n2.5,\n2.5,0.1\n", "a.csv:4: a distance of the hand of 1.000 mm is far outside of what is seen on a bench: is the unit right?"},
		{"frequency [MHz],hand [cm]\n2.5,10\n2.5,20\n2.5,0.015\n", "a.csv:4: the distance of the hand of 150.0 µm lies about 1000 times below the others: is the unit right?"},
		{"frequency [MHz],added [pF]\n2.5,\n1.5,4.7\n1.2,10000\n1.3,10\n", "a.csv:4: the added capacitance of 10.00 nF lies about 1000 times above the others: is the unit right?"},
		{"frequency [MHz],frequency ± [kHz]\n2.5,1\n2.5,1\n2.5,1000\n", "a.csv:4: the relative uncertainty of 40.00 % lies about 1000 times above the others: is the unit right?"},
		{"frequency [kHz],added [pF]\n2500,\n1.5,4.7\n1800,2.2\n", "a.csv:3: the frequency of 1.500 kHz lies about 1000 times below the others: is the unit right?"},
		{"frequency [Hz]\n250\n251\n", "a.csv:2: a frequency of 250.0 Hz is far outside of what is seen on a bench (such rows in all: 2): is the unit right?"},
		{"frequency [GHz]\n2.5\n2.4\n", "a.csv:2: a frequency of 2.500 GHz is far outside of what is seen on a bench (such rows in all: 2): is the unit right?"},
	} {
		log, err := Read(strings.NewReader(c[0]), "a.csv", Options{})
		got := ""
		if err != nil {
			got = err.Error()
		} else {
			got = strings.Join(log.Notices, "\n")
		}
		if got != c[1] {
			t.Errorf("%q\n%s\nwant\n%s", c[0], got, c[1])
		}
	}
}
