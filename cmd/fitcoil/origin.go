package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
)

// program tells what made a result.
func (c *call) program() *report.Program {
	p := &report.Program{Version: version(), Options: c.given()}
	for _, s := range buildInfo().Settings {
		if s.Key == "vcs.revision" {
			p.Revision = s.Value
		}
	}
	return p
}

// fileOf describes an input of that hash.
func fileOf(name, hash string) report.File {
	f := report.File{Name: quantity.Visible(name), SHA256: hash}
	if info, err := os.Stat(name); err == nil && name != "-" {
		f.Modified = info.ModTime()
	}
	return f
}

// logFile describes a log, with the day that it states.
func logFile(name string, log *benchlog.Log) report.File {
	f := fileOf(name, log.SHA256)
	f.Dated = log.Date()
	return f
}

// readHashed reads an input, and describes it with the hash of all that it holds.
func readHashed[T any](c *call, name string, read func(io.Reader, string) (T, error)) (content T, file report.File, err error) {
	f, err := c.open(name)
	if err != nil {
		return content, file, err
	}
	defer f.Close()
	sum := sha256.New()
	all := io.TeeReader(f, sum)
	if content, err = read(all, shown(name)); err != nil {
		return content, file, readFault(name, err)
	}
	io.Copy(io.Discard, all) // what can't be read isn't hashed
	return content, fileOf(name, hex.EncodeToString(sum.Sum(nil))), nil
}
