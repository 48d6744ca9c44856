package record

import (
	"fmt"
	"reflect"
	"strings"
	"time"

	"mouldwright/internal/base/unit"
)

// Head is what all entries have in common. Only ID may be set before writing: a page
// that repeats a request under the same ID writes it once.
type Head struct {
	ID        string    `json:"id,omitzero" doc:"the entry's own name; given by who writes it, or made"`
	Seq       int       `json:"seq,omitzero" doc:"its number in the order of writing, from 1"`
	WrittenAt time.Time `json:"written_at,omitzero" doc:"when it was written"`
	Version   string    `json:"version,omitzero" doc:"of the program that wrote it"`
	Struck    string    `json:"struck,omitzero" doc:"why it was struck out; missing: it stands"`
}

func (h *Head) head() *Head { return h }

// Entry is a pointer to one of the types in Entries.
type Entry interface{ head() *Head }

// Entries is entries of every kind, each in the order of writing. The tag table names
// the table that holds a kind.
type Entries struct {
	Withdrawals []Withdrawal `json:"withdrawals" table:"withdrawal" doc:"struck out"`
	Clocks      []Clock      `json:"clocks" table:"clock" doc:"the clock was said to be right"`
	Photos      []Photo      `json:"photos" table:"photo"`
	Revisions   []Revision   `json:"revisions" table:"revision"`
	Files       []File       `json:"files" table:"file" doc:"of revisions"`
	Heights     []Heights    `json:"heights" table:"heights" doc:"of pieces whose heights were new"`
	Plates      []Plate      `json:"plates" table:"plate" doc:"of revisions"`
	Laids       []Laid       `json:"laids" table:"laid" doc:"parts as they lie on them"`
	Prints      []Print      `json:"prints" table:"print"`
	Parts       []Part       `json:"parts" table:"part" doc:"of prints"`
	CureTests   []CureTest   `json:"cure_tests" table:"cure_test"`
	Pours       []Pour       `json:"pours" table:"pour"`
	Weighings   []Weighing   `json:"weighings" table:"weighing" doc:"of pours, or of anything else"`
	Moulds      []Mould      `json:"moulds" table:"mould"`
	MouldUses   []MouldUse   `json:"mould_uses" table:"mould_use"`
	Stocks      []Stock      `json:"stocks" table:"stock" doc:"what came into the house"`
	StockMoves  []StockMove  `json:"stock_moves" table:"stock_move" doc:"and what was taken of it"`
	Batches     []Batch      `json:"batches" table:"batch" doc:"of the kitchen"`
	BatchLots   []BatchLot   `json:"batch_lots" table:"batch_lot" doc:"what went into them"`
	Losses      []Loss       `json:"losses" table:"loss" doc:"what was lost of them"`
	Boxes       []Box        `json:"boxes" table:"box"`
	Contents    []Content    `json:"contents" table:"content" doc:"of boxes"`
	Points      []Point      `json:"points" table:"point" doc:"of the person's own, for the checklist before a print"`
	PointCosts  []PointCost  `json:"point_costs" table:"point_cost" doc:"points that once cost a print"`
	Releases    []Release    `json:"releases" table:"release" doc:"plates released for printing"`
	Timers      []Timer      `json:"timers" table:"timer"`
	TimerEnds   []TimerEnd   `json:"timer_ends" table:"timer_end"`
	Tasks       []Task       `json:"tasks" table:"task" doc:"of the calendar, begun or done"`
	Tooks       []Took       `json:"tooks" table:"took" doc:"how long steps of the work took"`
}

// Withdrawal strikes out an entry that was a mistake.
type Withdrawal struct {
	Head
	Entry string `json:"entry" need:"yes" doc:"id of what is struck out"`
	Why   string `json:"why,omitzero" doc:"what was wrong with it"`
}

// Clock says that the clock is right although it is behind the last entry's.
type Clock struct {
	Head
	WasAt time.Time `json:"was_at" need:"yes" doc:"what the last entry's clock had said"`
}

// Photo is a picture beside the job file. AddPhoto writes both.
type Photo struct {
	Head
	SHA256   string `json:"sha256" need:"yes"`
	File     string `json:"file" need:"yes" doc:"its name in the folder of photos"`
	Bytes    int    `json:"bytes" min:"1"`
	WidthPX  int    `json:"width_px" min:"1"`
	HeightPX int    `json:"height_px" min:"1"`
	Words    string `json:"words,omitzero" doc:"what it shows"`
}

// kind is one kind of entry: its table, its type, and its columns.
type kind struct {
	table   string
	at      int // index of its list in Entries
	typ     reflect.Type
	columns []column
}

// column is one field of an entry's type.
type column struct {
	name  string // of the column and in JSON
	field []int
	typ   reflect.Type
	tag   reflect.StructTag
	ref   bool // another entry's id: null when empty
}

// kinds is every kind, in the order of Entries.
var kinds = func() (out []kind) {
	t := reflect.TypeFor[Entries]()
	for i := range t.NumField() {
		k := kind{table: t.Field(i).Tag.Get("table"), at: i, typ: t.Field(i).Type.Elem()}
		for _, f := range reflect.VisibleFields(k.typ) {
			if len(f.Index) > 1 || f.Anonymous {
				continue
			}
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			k.columns = append(k.columns, column{name, f.Index, f.Type, f.Tag, f.Tag.Get("ref") != ""})
		}
		out = append(out, k)
	}
	return out
}()

func kindOf(e Entry) (kind, error) {
	t := reflect.TypeOf(e).Elem()
	for _, k := range kinds {
		if k.typ == t {
			return k, nil
		}
	}
	return kind{}, fmt.Errorf("record: %s is no kind of entry", t)
}

func kindNamed(table string) (kind, bool) {
	for _, k := range kinds {
		if k.table == table {
			return k, true
		}
	}
	return kind{}, false
}

// List is every entry of all kinds, kind by kind.
func (e *Entries) List() (out []Entry) {
	v := reflect.ValueOf(e).Elem()
	for _, k := range kinds {
		s := v.Field(k.at)
		for i := range s.Len() {
			out = append(out, s.Index(i).Addr().Interface().(Entry))
		}
	}
	return out
}

// Types of columns besides text and numbers.
var (
	timeType = reflect.TypeFor[time.Time]()
	dateType = reflect.TypeFor[unit.Date]()
)

// dateText is a day as it is kept; empty: not known.
func dateText(d unit.Date) string {
	if d == (unit.Date{}) {
		return ""
	}
	return d.String()
}
