package main

import (
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

func (c *call) draw(r *model.Result) error { return nil }

func (c *call) drawPredictions(r *model.Result, p report.Predictions) error { return nil }
