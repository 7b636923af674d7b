package csvfile

import (
	"cmp"
	"slices"
)

// MaxProblems is how many problems of one file are kept; the rest are counted.
const MaxProblems = 100

// Problem is one fault of a file.
type Problem struct {
	Row    int    `json:"row"`            // line of the file, the header is 1; 0 where the file as a whole is at fault
	Column string `json:"column"`         // name of the column; empty where no single one is at fault
	Code   string `json:"code"`           // stable name for machines, snake_case
	Detail string `json:"detail"`         // a sentence for people
	Rule   string `json:"rule,omitempty"` // the rule behind it and its source, where there is one
}

// Problems collects the problems of one file.
type Problems struct {
	list []Problem
	more int
}

// Add keeps a problem, or only counts it once there are MaxProblems.
func (p *Problems) Add(x Problem) {
	if len(p.list) >= MaxProblems {
		p.more++
		return
	}
	p.list = append(p.list, x)
}

// List gives the problems in the order of the lines.
func (p *Problems) List() []Problem {
	out := slices.Clone(p.list)
	slices.SortStableFunc(out, func(a, b Problem) int { return cmp.Compare(a.Row, b.Row) })
	return out
}

// More is how many problems were counted but not kept.
func (p *Problems) More() int { return p.more }

// Clone copies the collection, so that the copy can be added to.
func (p *Problems) Clone() *Problems { return &Problems{list: slices.Clone(p.list), more: p.more} }
