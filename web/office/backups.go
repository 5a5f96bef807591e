package office

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/domain"
	"coldrail/domain/backup"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// backupsView is the page of the nightly copies.
type backupsView struct {
	Act   string
	Set   db.BackupSettings
	Hour  string
	Stand backup.Standing
	Past  db.BackupsSoFar
	Log   []db.Backup
	Wrong *domain.Error
}

// ShowBackups serves GET /office/backups.
func (p *Pages) ShowBackups(w http.ResponseWriter, r *http.Request) error {
	v, err := p.backups(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, backupsPage(v))
}

// SetBackups serves POST /office/backups.
func (p *Pages) SetBackups(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	s := readBackups(r)
	if s.Directory != "" {
		err = archive.Folder(s.Directory).Choose()
	}
	if err == nil {
		err = p.DB.SetBackups(r.Context(), act, s)
	}
	if err == nil {
		http.Redirect(w, r, "/office/backups", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind != domain.Invalid {
		return err
	}
	v, err := p.backups(r.Context())
	if err != nil {
		return err
	}
	v.Act, v.Set, v.Hour, v.Wrong = r.FormValue("act"), s, r.FormValue("hour"), wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, backupsPage(v))
}

func (p *Pages) backups(ctx context.Context) (v backupsView, err error) {
	v.Act = signin.NewAct()
	if v.Set, err = p.DB.BackupSettings(ctx); err != nil {
		return v, err
	}
	v.Hour = strconv.Itoa(v.Set.Hour)
	if v.Past, err = p.DB.BackupsSoFar(ctx); err != nil {
		return v, err
	}
	v.Stand = v.Past.Stands(p.Now())
	v.Log, err = p.DB.Backups(ctx)
	return v, err
}

// readBackups reads the form; an hour that is none is refused by the verb.
func readBackups(r *http.Request) db.BackupSettings {
	hour, err := strconv.Atoi(strings.TrimSpace(r.FormValue("hour")))
	if err != nil {
		hour = -1
	}
	return db.BackupSettings{Directory: strings.TrimSpace(r.FormValue("directory")), Hour: hour, Recipient: strings.TrimSpace(r.FormValue("recipient"))}
}

// backupSaid says what became of a copy.
func backupSaid(ctx context.Context, b db.Backup) string {
	if b.Wrong != "" {
		return ui.T(ctx, "Failed: %s", b.Wrong)
	}
	said := ui.T(ctx, "Good, %.1f MB, took %s.", float64(b.Bytes)/1e6, ui.Span(ctx, b.EndedAt.Sub(b.BeganAt)))
	if b.Sealed {
		said += " " + ui.T(ctx, "Encrypted.")
	}
	if b.Thinned > 0 {
		said += " " + ui.T(ctx, "%d old ones taken away.", b.Thinned)
	}
	return said
}
