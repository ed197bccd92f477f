package yarn

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/sizing"
)

// Ball is a yarn as the head of a pattern states it. Numbers are 0, and Count is empty,
// where it does not.
type Ball struct {
	Yarn   string // letter or name that the rows use; "" for the only one
	Words  string
	Class  string // weight class as written: "DK"
	Metres float64
	Grams  float64
	Count  []int // balls per size; one for all
	Line   int
}

var (
	yarnHead  = regexp.MustCompile(`(?i)^\s*(?:(?:main |contrast(?:ing)? )?(?:yarns?|wool|colou?r)\s*([A-Z]|MC|CC\d?)?|(MC|CC\d?))\s*[:=(]`)
	perMetres = regexp.MustCompile(`(?i)([\d.]+)\s*(?:m|metres|meters)\b`)
	perYards  = regexp.MustCompile(`(?i)([\d.]+)\s*(?:yds?|yards)\b`)
	perGrams  = regexp.MustCompile(`(?i)([\d.]+)\s*(?:g|grams?|gm)\b`)
	ballCount = regexp.MustCompile(`(?i)(\d+(?:\s*[(\[][\d,:;\s]+[)\]])?)\s*(?:x\s*\d+\s*g\s*)?(?:balls?|skeins?|hanks?|cakes?)\b`)
	digitsRun = regexp.MustCompile(`\d+`)
	className = regexp.MustCompile(`(?i)\b(lace|light fingering|fingering|sock|4[- ]ply|sport|dk|double knitting|light worsted|worsted|aran|chunky|super bulky|bulky|jumbo)\b`)
)

// Balls reads the yarn lines of a manuscript's head.
func Balls(ms *notation.Manuscript) []Ball {
	var out []Ball
	for i, line := range ms.Source {
		m := yarnHead.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		b := Ball{Yarn: strings.ToUpper(m[1] + m[2]), Words: strings.TrimSpace(line), Line: i + 1, Class: className.FindString(line)}
		if x := perMetres.FindStringSubmatch(line); x != nil {
			b.Metres = figure(x[1])
		} else if x := perYards.FindStringSubmatch(line); x != nil {
			b.Metres = figure(x[1]) * 0.9144
		}
		if x := perGrams.FindStringSubmatch(line); x != nil {
			b.Grams = figure(x[1])
		}
		if x := ballCount.FindStringSubmatch(line); x != nil {
			for _, d := range digitsRun.FindAllString(x[1], -1) {
				n, err := strconv.Atoi(d)
				if err != nil || n > 10_000 {
					b.Count = nil
					break
				}
				b.Count = append(b.Count, n)
			}
		}
		out = append(out, b)
	}
	if len(out) == 1 && out[0].Yarn == "" && len(ms.Yarns) == 1 {
		out[0].Yarn = ms.Yarns[0]
	}
	return out
}

// BallOf finds the ball of a yarn that the rows name.
func BallOf(balls []Ball, yarn string) (Ball, bool) {
	for _, b := range balls {
		if strings.EqualFold(b.Yarn, yarn) {
			return b, true
		}
	}
	if len(balls) == 1 && balls[0].Yarn == "" {
		return balls[0], true
	}
	return Ball{}, false
}

// Buy is what to buy of a yarn for one size.
type Buy struct {
	Metres, Low, High float64 // of the piece
	Extra             float64 // metres of a swatch and the margin
	Grams             float64 // with the extra; 0 where the ball states none
	Balls             int     // with the extra; 0 where the ball states no metres
}

// Margin is what is bought over what is worked out, as a part: 10 to 15 % is usual, which
// covers a swatch or two (common practice).
const Margin = 0.10

// SwatchSide is the side of the swatch that is counted in.
const SwatchSide = sizing.Length(150)

// ToBuy adds a swatch, for the yarn that is the first, and the margin, and counts
// balls: enough for the figure with its margin, and for the upper end of its interval.
func ToBuy(u Use, size int, ball Ball, swatch float64) Buy {
	b := Buy{Metres: u.Metres[size], Low: u.Low[size], High: u.High[size]}
	b.Extra = swatch + Margin*b.Metres
	all := max(b.Metres+b.Extra, b.High)
	if ball.Metres > 0 {
		b.Balls = int(math.Ceil(all/ball.Metres - 0.02))
		if ball.Grams > 0 {
			b.Grams = all / ball.Metres * ball.Grams
		}
	}
	return b
}

// SwatchMetres is the yarn of a swatch at a gauge of stockinette.
func SwatchMetres(g sizing.Gauge) float64 {
	if g.Sts <= 0 || g.Rows <= 0 {
		return 0
	}
	sts := float64(SwatchSide) / float64(g.StitchWidth()) * float64(SwatchSide) / float64(g.RowHeight())
	return sts * float64(LoopLength(g, FullyRelaxed)) / 1000
}

// Yards are metres in yards.
func Yards(metres float64) float64 { return metres / 0.9144 }
