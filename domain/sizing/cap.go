package sizing

import "math"

// capPlan is a set-in sleeve's cap in numbers: what is bound off at the underarm,
// how the decreases lie, the two steps at the top, and what is then bound off.
type capPlan struct {
	under  int    // bound off at each side
	decs   spread // after the first
	step   int    // bound off at the beginning of the next 4 rows
	top    int
	edge   Length // of the cap, sewn in
	height Length
}

// Cap heights that are usual, as parts of the armhole's depth. Common practice.
const (
	capLow   = 0.60
	capUsual = 0.70
	capHigh  = 0.85
)

// most is how much longer than its armhole a cap may be at all.
const mostExcess Length = 25

// armholeEdge is the length of the armhole of one piece: across what is bound off,
// along each decrease, up to the shoulder.
func armholeEdge(g Gauge, under, decs, rows int) Length {
	sw, rh := float64(g.StitchWidth()), float64(g.RowHeight())
	straight := rows - 2 - 2*decs
	return Length(float64(under)*sw + float64(decs)*math.Hypot(sw, 2*rh) + float64(max(0, straight))*rh)
}

// planCap finds the cap of a sleeve of so many stitches for an armhole of a length,
// front and back together. Its edge is never shorter than the armhole, and longer
// by the excess wanted, as near as whole rows and stitches allow; among caps that do
// it takes the one of the usual height and breadth. ok says that it exceeds
// the armhole by 25 mm at most.
func planCap(g Gauge, sts, under int, armhole, depth, excess Length) (best capPlan, ok bool) {
	sw, rh := float64(g.StitchWidth()), float64(g.RowHeight())
	cost := math.Inf(1)
	for step := 1; step <= 4; step++ {
		for top := 2; top <= sts-2*under-4*step-2; top++ {
			left := sts - 2*under - 4*step - top
			if left%2 != 0 || left < 2 {
				continue
			}
			decs := left / 2
			flat := float64(2*under)*sw + 4*math.Hypot(float64(step)*sw, 2*rh) + float64(top)*sw
			for rows := 2 * (decs - 1); ; rows += 2 {
				height := Length(float64(rows+2+2+4) * rh)
				if rows > 2*(decs-1) && height > depth*1.1 {
					break
				}
				s, fits := spreadOver(decs-1, rows, true)
				if !fits || s.rows() != rows {
					if decs == 1 {
						break
					}
					if rows > 12*decs {
						break
					}
					continue
				}
				edge := flat + 2*(math.Hypot(sw, 2*rh)+float64(s.longTimes)*math.Hypot(sw, float64(s.long)*rh)+float64(s.shortTimes)*math.Hypot(sw, float64(s.short)*rh))
				over := edge - float64(armhole)
				if over < 0 {
					continue
				}
				c := 3 * math.Abs(over-float64(excess))
				if over > float64(mostExcess) {
					c += 20 * (over - float64(mostExcess))
				}
				c += math.Abs(float64(height-depth*capUsual)) * 0.5
				if height < depth*capLow || height > depth*capHigh {
					c += math.Abs(float64(height-depth*capUsual)) * 0.5
				}
				c += math.Abs(float64(top)-float64(sts)*0.2) * sw * 0.3
				c += math.Abs(float64(step)-2) * 2
				if c < cost {
					cost = c
					best = capPlan{under: under, decs: s, step: step, top: top, edge: Length(edge), height: height}
					ok = over <= float64(mostExcess)
				}
				if decs == 1 {
					break
				}
			}
		}
	}
	return best, ok && !math.IsInf(cost, 1)
}
