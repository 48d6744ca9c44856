package calendar

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"mouldwright/internal/base/peer"
)

// reader is an independent reader: the Python library icalendar. It says of each event
// what it read.
const reader = `
import sys, json, icalendar
c = icalendar.Calendar.from_ical(open(sys.argv[1], "rb").read())
out = []
for e in c.walk("VEVENT"):
    alarms = [{"action": str(a["ACTION"]), "trigger": a["TRIGGER"].dt.total_seconds(), "related": a["TRIGGER"].params.get("RELATED", "START"), "text": str(a["DESCRIPTION"])} for a in e.walk("VALARM")]
    out.append({"uid": str(e["UID"]), "summary": str(e["SUMMARY"]), "about": str(e.get("DESCRIPTION", "")), "from": e["DTSTART"].dt.isoformat(), "to": e["DTEND"].dt.isoformat() if "DTEND" in e else "", "free": str(e.get("TRANSP", "OPAQUE")) == "TRANSPARENT", "alarms": alarms, "stamp": e["DTSTAMP"].dt.isoformat(), "bad": [str(x) for x in e.errors]})
json.dump({"version": str(c["VERSION"]), "product": str(c["PRODID"]), "events": out, "bad": [str(x) for x in c.errors]}, sys.stdout)
`

type readEvent struct {
	UID, Summary, About, From, To, Stamp string
	Free                                 bool
	Alarms                               []struct {
		Action, Related, Text string
		Trigger               float64
	}
	Bad []string
}

// What another program reads is what was planned: every stretch of work at its time,
// with its alarm, its text with commas, semicolons and letters of every script whole.
func TestICSReadByAnother(t *testing.T) {
	python := peer.Python(t, "icalendar", "python3-icalendar")
	for _, zone := range []string{"", "Europe/Dublin"} {
		c := evenings()
		c.Zone = zone
		name := "Bänder, Karten; ロゴ \\ und ein Name, der so lang ist, dass seine Zeile gefaltet werden muss: Ásvörn"
		c.Tasks = []OwnTask{{Name: name}}
		cal, _ := planned(t, supper(), c, Past{})
		var text bytes.Buffer
		if err := cal.WriteICS(&text, "A supper; with guests, and \"more\""); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "calendar.ics")
		if err := os.WriteFile(file, text.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "-c", reader, file).Output()
		if err != nil {
			t.Fatal(err)
		}
		var read struct {
			Version, Product string
			Events           []readEvent
			Bad              []string
		}
		if err := json.Unmarshal(out, &read); err != nil {
			t.Fatal(err)
		}
		if read.Version != "2.0" || read.Product == "" || len(read.Bad) > 0 {
			t.Errorf("%+v", read)
		}
		layout := "2006-01-02T15:04:05"
		by, uids := map[string]readEvent{}, map[string]bool{}
		for _, e := range read.Events {
			by[e.Summary] = e
			if uids[e.UID] || len(e.Alarms) != 1 || e.Alarms[0].Action != "DISPLAY" || len(e.Bad) > 0 {
				t.Errorf("%+v", e)
			}
			uids[e.UID] = true
		}
		want := 1
		for _, p := range cal.Tasks {
			summary := p.Name
			if p.Margin {
				summary += " (margin)"
			}
			check := func(summary string, from, to time.Time, free bool, trigger float64) {
				want++
				e, ok := by[summary]
				if zone != "" {
					at, _ := time.LoadLocation(zone)
					for _, m := range []*time.Time{&from, &to} {
						*m = time.Date(m.Year(), m.Month(), m.Day(), m.Hour(), m.Minute(), 0, 0, at).UTC()
					}
				}
				if !ok || strings.TrimSuffix(e.From, "+00:00") != from.Format(layout) || strings.TrimSuffix(e.To, "+00:00") != to.Format(layout) || e.Free != free || e.Alarms[0].Trigger != trigger {
					t.Errorf("%q was read as %+v, want %s to %s", summary, e, from, to)
				}
			}
			if p.HandsUntil.After(p.From) {
				check(summary, p.From, p.HandsUntil, false, -900)
			}
			if p.To.After(p.HandsUntil) {
				check(summary+": runs by itself", p.HandsUntil, p.To, true, 0)
			}
		}
		if len(read.Events) != want {
			t.Errorf("%d events read, %d written", len(read.Events), want)
		}
	}
}

// RFC 5545, 3.1: lines end with CR LF and hold at most 75 octets; a folded line goes on
// after one space; no line breaks a letter. 3.6: begin and end are in pairs. 3.8.7.2,
// 3.8.4.7, 3.6.6: each event has a stamp and a UID, each alarm an action and a trigger.
func TestICSAfterTheStandard(t *testing.T) {
	c := evenings()
	c.Tasks = []OwnTask{{Name: strings.Repeat("ščřžýáíé", 20)}}
	cal, _ := planned(t, supper(), c, Past{})
	var a, b bytes.Buffer
	if err := cal.WriteICS(&a, "supper"); err != nil {
		t.Fatal(err)
	}
	if err := cal.WriteICS(&b, "supper"); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Fatal("two writings differ", err)
	}
	text := a.String()
	if strings.Count(text, "\n") != strings.Count(text, "\r\n") || !strings.HasSuffix(text, "END:VCALENDAR\r\n") {
		t.Error("a line does not end with CR LF")
	}
	var open []string
	has := map[string]int{}
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || !validUTF8(line) {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
		key, value, _ := strings.Cut(line, ":")
		switch key {
		case "BEGIN":
			open, has = append(open, value), map[string]int{}
		case "END":
			if open[len(open)-1] != value {
				t.Errorf("%s ends where %s is open", value, open[len(open)-1])
			}
			open = open[:len(open)-1]
		default:
			name, _, _ := strings.Cut(key, ";")
			has[name]++
			if strings.HasPrefix(line, " ") {
				continue
			}
			if has["ACTION"] > 1 || has["TRIGGER"] > 1 || has["UID"] > 1 || has["DTSTAMP"] > 1 || has["DTSTART"] > 1 {
				t.Errorf("%s twice", line)
			}
		}
	}
	if len(open) > 0 {
		t.Errorf("%v is never closed", open)
	}
	for _, must := range []string{"VERSION:2.0", "PRODID:", "DTSTAMP:20"} {
		if !strings.Contains(text, "\r\n"+must) {
			t.Errorf("no %s", must)
		}
	}
}

func validUTF8(s string) bool { return strings.ToValidUTF8(s, "") == s }
