package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"coldrail/db/archive"
)

// progress is one line that is written over as long work goes on. It says nothing
// more often than twice a second, and leaves an empty line behind.
type progress struct {
	out  io.Writer
	say  func(done, all int64) string
	now  func() time.Time
	last time.Time
}

func (p *progress) tell(done, all int64) {
	if now := p.now(); now.Sub(p.last) >= time.Second/2 {
		p.last = now
		fmt.Fprintf(p.out, "\r%-60s", p.say(done, all))
	}
}

func (p *progress) end() {
	if !p.last.IsZero() {
		fmt.Fprintf(p.out, "\r%60s\r", "")
	}
}

// watching gives long work a line on the terminal that says how far it is. Where the
// words go into a file or a log there is none.
func (c call) watching(ctx context.Context, say func(done, all int64) string) (context.Context, func()) {
	tell, end := c.line(say)
	if tell == nil {
		return ctx, end
	}
	return archive.Telling(ctx, tell), end
}

// line is that line by itself: tell is nil where there is none.
func (c call) line(say func(done, all int64) string) (tell archive.Tell, end func()) {
	f, ok := c.report.(*os.File)
	if !ok {
		return nil, func() {}
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil, func() {}
	}
	p := &progress{out: f, say: say, now: time.Now}
	return p.tell, p.end
}

// bytesSaid says so many bytes of all of them, in the words of what is done.
func bytesSaid(doing string) func(done, all int64) string {
	return func(done, all int64) string {
		if all == 0 {
			return fmt.Sprintf("%s: %s so far", doing, size(done))
		}
		return fmt.Sprintf("%s: %s of %s", doing, size(done), size(all))
	}
}

// rowsSaid says so many rows of all of them, in the words of what is done.
func rowsSaid(doing string) func(done, all int64) string {
	return func(done, all int64) string { return fmt.Sprintf("%s: %d of %d rows", doing, done, all) }
}
