package rates

import "math"

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

// plainBinomial is the slow truth: the chances of 0, 1, … n found, note after note, by nothing but sums and
// products of positive numbers.
func plainBinomial(n int, p float64) []float64 { return plainSum([]Part{{n, p}}) }

// plainSum is the same for notes of several kinds.
func plainSum(parts []Part) []float64 {
	chances := []float64{1}
	for _, p := range parts {
		for range p.N {
			next := make([]float64, len(chances)+1)
			for i, c := range chances {
				next[i] += c * (1 - p.P)
				next[i+1] += c * p.P
			}
			chances = next
		}
	}
	return chances
}

// A window holds the chances of first, first+1, …
type window struct {
	first   int
	chances []float64
}

// longBinomial is the truth for more notes than can be gone through one by one: ratios of neighbouring
// chances outward from the likeliest, made to add up to 1. What it leaves out is below 1e-30 of the likeliest.
func longBinomial(n int, p float64) window {
	likeliest := min(int(float64(n+1)*p), n)
	var up, down []float64
	for k, c := likeliest, 1.0; k < n && c > 1e-30; k++ {
		c *= float64(n-k) / float64(k+1) * (p / (1 - p))
		up = append(up, c)
	}
	for k, c := likeliest, 1.0; k > 0 && c > 1e-30; k-- {
		c *= float64(k) / float64(n-k+1) * ((1 - p) / p)
		down = append([]float64{c}, down...)
	}
	w := window{likeliest - len(down), append(append(down, 1), up...)}
	all := w.between(w.first, w.last())
	for i := range w.chances {
		w.chances[i] /= all
	}
	return w
}

func (w window) last() int { return w.first + len(w.chances) - 1 }

func (w window) between(from, to int) (sum float64) {
	for k := max(from, w.first); k <= min(to, w.last()); k++ {
		sum += w.chances[k-w.first]
	}
	return sum
}

// with convolves, pair by pair.
func (w window) with(o window) window {
	sum := window{w.first + o.first, make([]float64, len(w.chances)+len(o.chances)-1)}
	for i, a := range w.chances {
		for j, b := range o.chances {
			sum.chances[i+j] += a * b
		}
	}
	return sum
}

// central looks for the range of luck from both ends, as its definition says it.
func (w window) central() (low, top int) {
	low, top = w.first, w.last()
	for below := w.chances[0]; below <= tail+1e-12; below += w.chances[low-w.first] {
		low++
	}
	for above := w.chances[len(w.chances)-1]; above <= tail+1e-12; above += w.chances[top-w.first] {
		top--
	}
	return low, top
}
