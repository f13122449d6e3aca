package benchlog

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// However times are written, an hour is an hour: a drift is told by it.
func TestMomentsInHours(t *testing.T) {
	for log, want := range map[string][]float64{
		"f [MHz],time\n2.5,14:00:00\n2.4,14:00:36\n2.3,15:30:00\n2.2,00:00:18\n":  {0, 0.01, 1.5, 10.005},
		"f [MHz],time\n2.5,23:50\n2.4,00:20\n":                                    {0, 0.5},
		"f [MHz],time [min]\n2.5,10\n2.4,40\n":                                    {0, 0.5},
		"f [MHz],time [s]\n2.5,10\n2.4,190\n":                                     {0, 0.05},
		"f [MHz],time [h]\n2.5,1\n2.4,1.25\n":                                     {0, 0.25},
		"f [MHz],time\n2.5,2026-01-31T23:30\n2.4,2026-02-01T00:30:36\n":           {0, 1.01},
		"f [MHz],time\n2.5,2026-01-31T10:00:00Z\n2.4,2026-01-31T12:00:00+01:00\n": {0, 1},
	} {
		l := must.Get(Read(strings.NewReader(log), "log.csv", Options{})).In(t)
		for i, m := range l.Moments {
			if !(math.Abs(m-l.Moments[0]-want[i]) <= 1e-9) || len(l.Moments) != len(want) {
				t.Errorf("%q: row %d after %v h, want %v", log, i+1, m-l.Moments[0], want[i])
			}
		}
	}
}
