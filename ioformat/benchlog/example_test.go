package benchlog_test

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// An evening's log (invented), read and fitted.
func ExampleRead() {
	const log = `frequency [MHz],frequency ± [kHz],added [pF],added ± [%],core
2.500,1,,,
2.497,1,clip,,
1.683,1,4.7,1,
1.323,1,10,1,
0.969,1,22,1,
1.780,1,,,rod
0.938,1,10,1,rod
2.500,1,,,
`
	read, err := benchlog.Read(strings.NewReader(log), "evening.csv", benchlog.Options{})
	if err != nil {
		fmt.Println(err) // each fault with its line, column and remedy
		return
	}
	coil, err := model.Fit(estimation.Session{Log: read.Log})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance} {
		for _, e := range coil.Derived {
			if e.Name == name && e.Determined {
				fmt.Printf("%s %.1e %s, known to 5 %%: %v\n", e.Name, e.Value, e.Unit, e.Uncertainty < 0.05*e.Value)
			}
		}
	}
	// Output:
	// effective_inductance 1.0e-03 H, known to 5 %: true
	// effective_capacitance 4.0e-12 F, known to 5 %: true
}
