package cells

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/stable"
)

// Fault is one thing that is wrong in a file.
type Fault struct {
	File     string
	Line     int    // from 1; 0 when the whole file is meant
	Column   int    // from 1, counted in cells; 0 when the whole row is meant
	Header   string // what stands above the cell
	Problem  string // what was read or found
	Expected string // what would have been understood; may be empty
	Do       string // what to do; may be empty
}

// Error writes f in one line, as in
//
//	log.csv:7:3 (column C, "frequency [MHz]"): read "1,234", expected a number in MHz; if the comma …
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
	}
	if f.Column > 0 {
		fmt.Fprintf(&b, ":%d (column %s", f.Column, Letter(f.Column))
		if f.Header != "" {
			b.WriteString(", " + quantity.Quote(f.Header))
		}
		b.WriteByte(')')
	}
	b.WriteString(": " + f.Problem)
	if f.Expected != "" {
		b.WriteString(", expected " + f.Expected)
	}
	if f.Do != "" {
		b.WriteString("; " + f.Do)
	}
	return b.String()
}

// Letter names column n (from 1) as spreadsheets do: A … Z, AA …
func Letter(n int) string {
	s := ""
	for ; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

// mostFaults is how many faults of a file are told one by one.
const mostFaults = 20

// Faults is all that is wrong in a file, as an error.
type Faults struct {
	List []Fault // in the order of lines, at most 20
	More int     // how many there are beyond List
}

func (f Faults) Error() string {
	var b strings.Builder
	for i, fault := range f.List {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(fault.Error())
	}
	if f.More > 0 {
		fmt.Fprintf(&b, "\nand %d more", f.More)
	}
	return b.String()
}

// Add adds one fault.
func (f *Faults) Add(fault Fault) {
	if len(f.List) == mostFaults {
		f.More++
		return
	}
	f.List = append(f.List, fault)
}

// Err returns f as an error of type Faults, in the order of their places; nil when
// there is no fault.
func (f *Faults) Err() error {
	if len(f.List) == 0 {
		return nil
	}
	stable.Sort(f.List, func(a, b Fault) int {
		return cmp.Or(a.Line-b.Line, a.Column-b.Column)
	})
	return *f
}

// describe fills the words of a fault from err, which may be a
// [quantity.Error].
func (f Fault) describe(err error) Fault {
	if q, ok := errors.AsType[*quantity.Error](err); ok {
		f.Problem, f.Expected, f.Do = "read "+quantity.Quote(q.Read), q.Expected, q.Do
		if quantity.Trim(q.Read) == "" {
			f.Problem = "the cell is empty"
		}
		return f
	}
	f.Problem = err.Error()
	return f
}
