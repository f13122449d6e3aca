package logbook

import "bytes"

// Memory is a log that is kept in memory, as a page keeps it.
type Memory struct{ Content []byte }

// Read returns the log.
func (m *Memory) Read() ([]byte, error) { return m.Content, nil }

// Update changes the log.
func (m *Memory) Update(edit func([]byte) ([]byte, error)) error {
	content, err := edit(bytes.Clone(m.Content))
	if err == nil {
		m.Content = content
	}
	return err
}
