// Package workers runs a piece of work on several goroutines and brings a panic of one of
// them back to the caller.
package workers
