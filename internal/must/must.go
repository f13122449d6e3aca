// Package must ends a test where something fails that the test isn't about.
package must

// Test is a test, benchmark or property that may end.
type Test interface {
	Helper()
	Fatal(args ...any)
}

// Do ends the test if there is an error.
func Do(t Test, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Got is what a call returned.
type Got[T any] struct {
	value T
	err   error
}

// Get takes what a call returned, as in must.Get(os.ReadFile(name)).In(t).
func Get[T any](value T, err error) Got[T] { return Got[T]{value, err} }

// In returns the value, and ends the test if there was an error.
func (g Got[T]) In(t Test) T {
	t.Helper()
	Do(t, g.err)
	return g.value
}
