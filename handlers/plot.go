package handlers

import (
	"fmt"
	"math"
	"strconv"

	"rowproof/web"
)

// Plots of what was planned against what was measured: deviations in percent, a line for
// each size, a dot for each knitter.

type plotDot struct {
	at    float64 // deviation from what was planned, 0.04 for 4 % more
	title string
	far   bool
}

type plotLine struct {
	label string
	dots  []plotDot
	band  [2]float64 // an interval behind the dots; both 0 for none
}

// The drawing in its own units.
const (
	plotWidth  = 640
	plotLeft   = 150 // where the labels of the lines end
	plotRow    = 30  // height of a line
	plotFoot   = 26  // for the labels of the scale
	dotsNearBy = 9   // dots nearer than this are set above one another
	plotReach  = 0.4 // deviations beyond it stand at the edge; their words tell them
)

// plotOf draws lines on a scale wide enough for all dots, 10 % to each side at least; zero
// is what its middle is called.
func plotOf(title, zero string, lines []plotLine) web.Plot {
	reach := 0.1
	for _, l := range lines {
		for _, d := range l.dots {
			reach = max(reach, min(plotReach, math.Abs(d.at)))
		}
		reach = max(reach, min(plotReach, max(math.Abs(l.band[0]), math.Abs(l.band[1]))))
	}
	step := 0.05
	for reach/step > 5 {
		step *= 2
	}
	reach = math.Ceil(reach/step-1e-9) * step
	x := func(at float64) float64 {
		at = max(-reach, min(reach, at))
		return plotLeft + (at+reach)/(2*reach)*(plotWidth-plotLeft-20)
	}
	n := func(f float64) string { return strconv.FormatFloat(math.Round(f*10)/10, 'f', -1, 64) }
	height := float64(8 + plotRow*len(lines) + plotFoot)
	p := web.Plot{Title: title, ViewBox: fmt.Sprintf("0 0 %d %s", plotWidth, n(height)), TickTo: n(height - plotFoot), LabelsY: n(height - 8)}
	for k := -int(math.Round(reach / step)); float64(k)*step <= reach+1e-9; k++ {
		t := web.PlotTick{X: n(x(float64(k) * step)), Label: percent(1 + float64(k)*step), Zero: k == 0}
		if k == 0 {
			t.Label = zero
		}
		p.Ticks = append(p.Ticks, t)
	}
	for i, l := range lines {
		y := float64(8 + plotRow*i + plotRow/2)
		pl := web.PlotLine{Label: l.label, LabelY: n(y + 5)}
		if l.band != [2]float64{} {
			pl.Band = web.PlotBand{X: n(x(l.band[0])), Y: n(y - 9), Width: n(x(l.band[1]) - x(l.band[0]))}
		}
		var taken []float64
		for _, d := range l.dots {
			at, up := x(d.at), 0
			for _, t := range taken {
				if math.Abs(t-at) < dotsNearBy {
					up++
				}
			}
			taken = append(taken, at)
			pl.Dots = append(pl.Dots, web.PlotDot{X: n(at), Y: n(y - float64(up%3)*6), Title: d.title, Far: d.far})
			p.Words = append(p.Words, l.label+": "+d.title)
		}
		p.Lines = append(p.Lines, pl)
	}
	return p
}
