package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// trouble is a working shop on a disk that can be filled, run by a program that
// can be killed.
type trouble struct {
	binary, data, address, clock, url string
	program                           *program
	disk                              *disk
	cut                               atomic.Int64 // so many requests are to be given up by their phone
}

// openTrouble starts the program, built with the clock that can be moved, on an
// empty directory and furnishes its shop.
func openTrouble(t *testing.T) *trouble {
	t.Helper()
	dir := t.TempDir()
	s := &trouble{binary: filepath.Join(dir, "coldrail"), clock: filepath.Join(dir, "clock"), address: freeAddress(t), disk: openDisk(t)}
	s.data = filepath.Join(s.disk.dir, "data")
	if out, err := exec.Command("go", "build", "-tags", "faults", "-o", s.binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	s.start(t)
	s.program.ready(t)
	s.url = ownersURL(s.data)
	d, err := db.Open(t.Context(), s.url)
	must(t, err)
	defer d.Close()
	dbtest.Furnish(t, d)
	s.ask(t, func(c *pgx.Conn) error {
		_, err := c.Exec(t.Context(), `INSERT INTO places (rail_id, position) SELECT id, n FROM rails, generate_series(13, 400) n WHERE name = 'R1'`)
		return err
	})
	return s
}

// ask connects anew and asks until the database answers: it may just be coming back.
func (s *trouble) ask(t *testing.T, do func(*pgx.Conn) error) {
	t.Helper()
	var err error
	for range 100 {
		var c *pgx.Conn
		if c, err = pgx.Connect(t.Context(), s.url); err == nil {
			err = do(c)
			_ = c.Close(t.Context())
		}
		if err == nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal(err)
}

// check is what must hold after any fault.
func (s *trouble) check(t *testing.T, when string, c *crowd) {
	t.Helper()
	acts, numbers := c.acknowledged()
	s.ask(t, func(conn *pgx.Conn) error {
		var lines, animals, half int
		err := conn.QueryRow(t.Context(), `
			SELECT (SELECT count(*) FROM time_line WHERE act = ANY ($1)), (SELECT count(*) FROM animals WHERE number = ANY ($2)),
			       (SELECT count(*) FROM animals a WHERE (SELECT count(*) FROM register r WHERE r.animal_id = a.id AND r.kind = 'receipt') <> 1
			          OR (SELECT count(*) FROM time_line t WHERE t.animal_id = a.id AND t.what = 'receive') <> 1
			          OR (SELECT count(*) FROM official_tags o WHERE o.animal_id = a.id) <> 1
			          OR (SELECT count(*) FROM animal_people p WHERE p.animal_id = a.id AND p.role = 'owner') <> 1)`, acts, numbers).Scan(&lines, &animals, &half)
		if err == nil && (lines != len(acts) || animals != len(numbers) || half != 0) {
			t.Errorf("%s: of %d acknowledged writes %d stand, of %d animals %d, and %d are half there", when, len(acts), lines, len(numbers), animals, half)
		}
		return err
	})
	d, err := db.Open(t.Context(), s.url)
	must(t, err)
	defer d.Close()
	if err := d.VerifyRegister(t.Context()); err != nil {
		t.Errorf("%s: the register: %v", when, err)
	}
}

// crowd is the people at the counter, writing without a pause.
type crowd struct {
	cancel context.CancelFunc
	done   sync.WaitGroup
	next   atomic.Int64

	mu         sync.Mutex
	acts       []uuid.UUID
	numbers    []string
	again, cut int
}

// work lets so many people take in animals, one after the other. What is not
// answered is sent again, the same act, until it is.
func (s *trouble) work(t *testing.T, people int) *crowd {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	c := &crowd{cancel: cancel}
	for range people {
		device := s.signIn(t)
		c.done.Go(func() {
			for ctx.Err() == nil {
				c.takeIn(ctx, t, s, device)
				time.Sleep(30 * time.Millisecond)
			}
		})
	}
	t.Cleanup(c.stop)
	return c
}

func (c *crowd) stop() { c.cancel(); c.done.Wait() }

func (c *crowd) acknowledged() ([]uuid.UUID, []string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.acts, c.numbers // only ever appended to
}

func (c *crowd) counts() (acts, again, cut int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.acts), c.again, c.cut
}

// takeIn sends one drop-off until it is acknowledged. The last one of a stopped
// crowd is given up: it may stand or not.
func (c *crowd) takeIn(ctx context.Context, t *testing.T, s *trouble, device *http.Client) {
	n, act := int(c.next.Add(1)), uuid.Must(uuid.NewV7())
	number := string(domain.NewShopNumber(10+n/9000, 1+n%9000))
	form := url.Values{"act": {act.String()}, "number": {number}, "phone": {fmt.Sprintf("607-555-%04d", n%10000)}, "name": {"Dell Hargrove"}, "tag": {"T-" + number},
		"state": {"NY"}, "species": {"whitetail"}, "other": {"-"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"yesterday"}, "deep": {"52"}, "place": {"none"}, "tag_kind": {"carcass-tag"}}
	if n%100 == 0 {
		form.Set("place", "next")
	}
	for tries := 0; ctx.Err() == nil; tries++ {
		status, body := s.post(ctx, device, "/dropoff", form)
		switch {
		case status == http.StatusSeeOther:
			c.mu.Lock()
			c.acts, c.numbers, c.again = append(c.acts, act), append(c.numbers, number), c.again+tries
			c.mu.Unlock()
			return
		case status == cutOff:
			c.mu.Lock()
			c.cut++
			c.mu.Unlock()
		case status != 0 && status < 500:
			t.Errorf("a drop-off answers %d: %.1500s", status, body)
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// cutOff stands for an answer the phone did not wait for.
const cutOff = -1

// post sends a form; 0 where no answer came. While phones are to be cut it gives
// up in the midst of it.
func (s *trouble) post(ctx context.Context, device *http.Client, path string, form url.Values) (status int, body string) {
	cut := s.cut.Add(-1) >= 0
	if cut {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, time.Duration(1+time.Now().UnixNano()%9)*time.Millisecond)
		defer cancel()
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+s.address+path, strings.NewReader(form.Encode()))
	if err != nil {
		return 0, err.Error()
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := device.Do(r)
	if err != nil && cut {
		return cutOff, ""
	}
	if err != nil {
		return 0, err.Error()
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil && answer.StatusCode < 400 {
		return 0, err.Error()
	}
	_, page, _ := strings.Cut(string(text), "<main") // what the person reads
	return answer.StatusCode, page
}

// signIn enrols a device and takes it in Bob's name.
func (s *trouble) signIn(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	must(t, err)
	device := &http.Client{Jar: jar, Timeout: 20 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for path, form := range map[string]url.Values{"/enrol": {"initials": {"AK"}, "password": {"correct horse battery"}, "device": {"a tablet"}}} {
		if status, body := s.post(t.Context(), device, path, form); status != http.StatusSeeOther {
			t.Fatalf("%s answers %d: %s", path, status, body)
		}
	}
	var bob string
	s.ask(t, func(c *pgx.Conn) error {
		return c.QueryRow(t.Context(), `SELECT id::text FROM staff WHERE initials = 'BT'`).Scan(&bob)
	})
	if status, body := s.post(t.Context(), device, "/who", url.Values{"staff": {bob}}); status != http.StatusSeeOther {
		t.Fatalf("/who answers %d: %s", status, body)
	}
	return device
}
