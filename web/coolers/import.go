package coolers

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"io"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/logger"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// maxFile is the most a logger's file may hold: 100,000 rows are about 4 MB.
const maxFile = 20 << 20

// importView is the page on which a logger's file is looked at and then brought
// in. Until then nothing of it is kept: the file travels in the page, packed.
type importView struct {
	Room                     db.Cooler
	Act                      string
	Sensor, Unit, Zone, Name string // as typed; Name is the file's
	Packed                   string // the file; empty: none was chosen yet
	Sure, Asked              bool   // Asked: it lies far from what was read by hand
	Found                    logger.Found
	Seen                     *db.Imported // what would become of it
	Told                     *time.Location
	text                     []byte
}

// ShowImport serves GET /coolers/{name}/import.
func (p *Pages) ShowImport(w http.ResponseWriter, r *http.Request) error {
	room, err := p.DB.Cooler(r.Context(), chi.URLParam(r, "name"))
	if err != nil {
		return err
	}
	v := importView{Room: room, Act: signin.NewAct(), Sensor: room.Name + "-logger"}
	sensors, err := p.DB.Sensors(r.Context())
	if err != nil {
		return err
	}
	for _, s := range sensors {
		if s.CoolerID == room.ID && s.Kind == "logger" {
			v.Sensor, v.Zone = s.Name, s.Zone
		}
	}
	return ui.Render(w, r, http.StatusOK, importPage(v, nil))
}

// Import serves POST /coolers/{name}/import: first a look at what would become
// of the file, then, with keep, the file itself.
func (p *Pages) Import(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.typedImport(r)
	var f db.ReadingsFile
	if err == nil {
		f, err = v.read(r.Context())
	}
	if err == nil && r.FormValue("keep") == "yes" {
		if _, err = p.DB.ImportReadings(r.Context(), act, f); err == nil {
			http.Redirect(w, r, "/coolers/"+v.Room.Name, http.StatusSeeOther)
			return nil
		}
	} else if err == nil {
		err = p.look(r.Context(), &v, f)
	}
	if err == nil {
		return ui.Render(w, r, http.StatusOK, importPage(v, nil))
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v.Asked = wrong.Kind == domain.Refused && wrong.At == "unit"
	if wrong.At == "zone" && v.Zone == "" {
		v.Zone = ui.ShopOf(r.Context()).Zone.String() // offered, for a person to confirm
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, importPage(v, wrong))
}

// look finds out what would become of the file; a question leaves the counts.
func (p *Pages) look(ctx context.Context, v *importView, f db.ReadingsFile) error {
	seen, err := p.DB.LookAtReadings(ctx, f, p.Now())
	if seen.Read > 0 {
		v.Seen = &seen
	}
	return err
}

// typedImport reads the form.
func (p *Pages) typedImport(r *http.Request) (v importView, err error) {
	if v.Room, err = p.DB.Cooler(r.Context(), chi.URLParam(r, "name")); err != nil {
		return v, err
	}
	v.Sensor, v.Unit, v.Zone = r.FormValue("sensor"), r.FormValue("unit"), r.FormValue("zone")
	v.Act, v.Sure = r.FormValue("act"), r.FormValue("sure") == "yes"
	file, head, err := r.FormFile("file")
	if err == nil && head.Size > 0 {
		defer file.Close()
		v.Name = head.Filename
		v.text, err = atMost(file)
	} else if v.Packed = r.FormValue("packed"); v.Packed != "" {
		v.Name = r.FormValue("file_name")
		v.text, err = unpack(v.Packed)
	} else {
		return v, domain.Wrong("file", "Choose the logger's file.")
	}
	if err == nil {
		v.Packed, err = pack(v.text)
	}
	return v, err
}

// read turns the file into readings.
func (v *importView) read(ctx context.Context) (f db.ReadingsFile, err error) {
	told := logger.Told{}
	if v.Unit != "file" {
		told.Unit = logger.Unit(v.Unit)
	}
	if told.Unit != "" && told.Unit != logger.Celsius && told.Unit != logger.Fahrenheit {
		return f, domain.Wrong("unit", "Choose °F, °C, or that the file says it.")
	}
	if v.Zone != "" {
		if told.Zone, err = time.LoadLocation(v.Zone); err != nil || v.Zone == "Local" {
			return f, domain.Wrong("zone", "%s is no time zone. Give one such as America/New_York.", v.Zone)
		}
	}
	v.Told = told.Zone
	f = db.ReadingsFile{Sensor: v.Sensor, Name: v.Name, Sum: sha256.Sum256(v.text), Sure: v.Sure, Room: v.Room.ID}
	f.Rows, v.Found, err = logger.Read(v.text, told)
	return f, err
}

func atMost(from io.Reader) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(from, maxFile+1))
	if err == nil && len(text) > maxFile {
		err = domain.Wrong("file", "The file is too large. Cut it into pieces below 20 MB.")
	}
	return text, err
}

func pack(text []byte) (string, error) {
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err := w.Write(text)
	if err = errors.Join(err, w.Close()); err != nil {
		return "", err
	}
	return base64.StdEncoding.EncodeToString(packed.Bytes()), nil
}

func unpack(packed string) ([]byte, error) {
	lost := domain.Wrong("file", "The file was lost on the way. Choose it again.")
	raw, err := base64.StdEncoding.DecodeString(packed)
	if err != nil {
		return nil, lost
	}
	r, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, lost
	}
	text, err := atMost(r)
	if err != nil && domain.As(err).Kind != domain.Invalid {
		err = lost
	}
	return text, err
}
