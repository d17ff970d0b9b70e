BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0005');
CREATE TABLE answer (
	id TEXT NOT NULL, 
	triad_id TEXT NOT NULL, 
	odd_code TEXT NOT NULL, 
	guessed BOOLEAN NOT NULL, 
	note TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_answer PRIMARY KEY (id), 
	CONSTRAINT fk_answer_triad_id_triad FOREIGN KEY(triad_id) REFERENCES triad (id), 
	CONSTRAINT uq_answer_triad_id UNIQUE (triad_id)
);
INSERT INTO "answer" VALUES('ff642287-64e3-47ea-a94b-66761abd9f28','47d58c5f-d63a-430f-8f30-2d7fbc2f7b3d','306',1,'thin','2026-03-01 17:00:00.000000',-300);
CREATE TABLE circumstance (
	id TEXT NOT NULL, 
	tasting_id TEXT, 
	taster_id TEXT, 
	serving_id TEXT, 
	kind TEXT NOT NULL, 
	value TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_circumstance PRIMARY KEY (id), 
	CONSTRAINT fk_circumstance_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_circumstance_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_circumstance_tasting_id_tasting FOREIGN KEY(tasting_id) REFERENCES tasting (id)
);
INSERT INTO "circumstance" VALUES('600838da-cc2a-49e4-91a2-24eb1cca712e','edfae79b-2032-41b2-8348-72a261feb91b','a3bed4d8-19c2-4edc-985d-f19184cdd5cf',NULL,'room','smoke','2026-03-01 17:00:00.000000',-300);
CREATE TABLE coffee (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	origin TEXT NOT NULL, 
	process TEXT NOT NULL, 
	roast_date DATE, 
	CONSTRAINT pk_coffee PRIMARY KEY (id)
);
INSERT INTO "coffee" VALUES('822b2965-7ae5-4fc3-9aa7-7d222395e762','Low Terrace','Sunda','washed','2026-02-03');
INSERT INTO "coffee" VALUES('a0d10bd2-9436-4b5b-a656-2bfa9292ef34','High Terrace','','',NULL);
CREATE TABLE collected (
	id TEXT NOT NULL, 
	CONSTRAINT pk_collected PRIMARY KEY (id)
);
CREATE TABLE draft (
	"key" TEXT NOT NULL, 
	text TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_draft PRIMARY KEY ("key")
);
INSERT INTO "draft" VALUES('pad','half a wo','2026-11-25 19:14:06.891002',0);
CREATE TABLE drill_event (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	drill TEXT NOT NULL, 
	node TEXT NOT NULL, 
	asked TEXT NOT NULL, 
	answered TEXT NOT NULL, 
	correct BOOLEAN, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_drill_event PRIMARY KEY (id), 
	CONSTRAINT fk_drill_event_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
CREATE TABLE line_mark (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	serving_id TEXT NOT NULL, 
	stage TEXT NOT NULL, 
	attribute TEXT NOT NULL, 
	mark DOUBLE NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_line_mark PRIMARY KEY (id), 
	CONSTRAINT ck_line_mark_mark_on_line CHECK (mark BETWEEN 0 AND 100), 
	CONSTRAINT fk_line_mark_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_line_mark_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
CREATE TABLE "note" (
	id TEXT NOT NULL, 
	note_id TEXT NOT NULL, 
	revision INTEGER NOT NULL, 
	taster_id TEXT NOT NULL, 
	serving_id TEXT NOT NULL, 
	stage TEXT NOT NULL, 
	text TEXT NOT NULL, 
	coached BOOLEAN NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	rank BIGINT DEFAULT '0' NOT NULL, 
	CONSTRAINT pk_note PRIMARY KEY (id), 
	CONSTRAINT fk_note_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_note_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
INSERT INTO "note" VALUES('f87f95cc-c046-4814-a310-829dee9978af','3cc10ff9-f394-456b-8299-8b40383954ce',1,'a3bed4d8-19c2-4edc-985d-f19184cdd5cf','a94ff8c6-b9d0-475f-82cc-93b470c5855e','hot','quince',0,'2026-03-01 17:00:00.000000',-300,1772384400000000);
INSERT INTO "note" VALUES('2dbed00e-ece1-4581-b462-5933ac007ad7','2c224e83-0b61-456a-b2dc-eb1fd8f44fd5',1,'a3bed4d8-19c2-4edc-985d-f19184cdd5cf','a94ff8c6-b9d0-475f-82cc-93b470c5855e','hot','same instant 1',0,'2026-03-01 17:01:00.000000',-300,1772384460000000);
INSERT INTO "note" VALUES('59c66656-ffd0-4966-ad4c-81040940b129','4ac63a00-7c6a-48c4-a759-31b1954f1f56',1,'a3bed4d8-19c2-4edc-985d-f19184cdd5cf','a94ff8c6-b9d0-475f-82cc-93b470c5855e','hot','same instant 2',0,'2026-03-01 17:01:00.000000',-300,1772384460000001);
INSERT INTO "note" VALUES('79e6c892-56cb-402c-acc7-1a08b5e24f23','37e93569-1905-41df-b62f-3a22f534fd75',1,'a3bed4d8-19c2-4edc-985d-f19184cdd5cf','a94ff8c6-b9d0-475f-82cc-93b470c5855e','hot','same instant 3',0,'2026-03-01 17:01:00.000000',-300,1772384460000002);
INSERT INTO "note" VALUES('7aa0e158-96ab-426b-8be8-b5614907182d','3cc10ff9-f394-456b-8299-8b40383954ce',2,'a3bed4d8-19c2-4edc-985d-f19184cdd5cf','a94ff8c6-b9d0-475f-82cc-93b470c5855e','hot','quince, honey',1,'2026-03-01 17:02:00.000000',-300,1772384520000000);
INSERT INTO "note" VALUES('7c907b60-9a9c-490d-b677-b5bfb62b8078','aee25f8d-9015-4849-9529-212bff1fb463',1,'a770269d-4e1d-4500-abad-df10deaecfd9','8d2cafcf-dabc-442e-8ae2-72985af10829','cool','nul ␛0000, lone ␛d800, ␛241b, 🫐',0,'2026-03-01 18:30:00.000000',0,1772389800000000);
CREATE TABLE personal_word (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	word TEXT NOT NULL, 
	node TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_personal_word PRIMARY KEY (id), 
	CONSTRAINT fk_personal_word_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_personal_word_taster_id_word UNIQUE (taster_id, word)
);
INSERT INTO "personal_word" VALUES('322bec63-2955-49d2-a446-c465ca8fd61a','a3bed4d8-19c2-4edc-985d-f19184cdd5cf','grandma''s attic','outdoors/workshop','2026-11-25 19:14:06.895495',0);
CREATE TABLE run_event (
	id TEXT NOT NULL, 
	run_id TEXT NOT NULL, 
	event TEXT NOT NULL, 
	detail TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_run_event PRIMARY KEY (id), 
	CONSTRAINT fk_run_event_run_id_triangle_run FOREIGN KEY(run_id) REFERENCES triangle_run (id)
);
INSERT INTO "run_event" VALUES('25836069-7564-4884-8472-f64c797967f0','ba6b5647-3e44-4aa7-98ff-aa959fb7d9bc','prepared','{}','2026-03-01 17:00:00.000000',-300);
CREATE TABLE serving (
	id TEXT NOT NULL, 
	tasting_id TEXT NOT NULL, 
	coffee_id TEXT, 
	code TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	CONSTRAINT pk_serving PRIMARY KEY (id), 
	CONSTRAINT fk_serving_coffee_id_coffee FOREIGN KEY(coffee_id) REFERENCES coffee (id), 
	CONSTRAINT fk_serving_tasting_id_tasting FOREIGN KEY(tasting_id) REFERENCES tasting (id), 
	CONSTRAINT uq_serving_tasting_id_code UNIQUE (tasting_id, code)
);
INSERT INTO "serving" VALUES('a94ff8c6-b9d0-475f-82cc-93b470c5855e','5957e8d0-d672-404c-9695-abd9aca82e86','822b2965-7ae5-4fc3-9aa7-7d222395e762','417',1);
INSERT INTO "serving" VALUES('8d2cafcf-dabc-442e-8ae2-72985af10829','5957e8d0-d672-404c-9695-abd9aca82e86',NULL,'852',2);
INSERT INTO "serving" VALUES('663955da-edbb-4448-a43d-901c8eb4780b','edfae79b-2032-41b2-8348-72a261feb91b',NULL,'417',1);
INSERT INTO "serving" VALUES('e4e95031-8087-47cc-b6a3-f710b5e9f843','edfae79b-2032-41b2-8348-72a261feb91b',NULL,'852',2);
CREATE TABLE stage_event (
	id TEXT NOT NULL, 
	tasting_id TEXT NOT NULL, 
	serving_id TEXT, 
	stage TEXT NOT NULL, 
	event TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_stage_event PRIMARY KEY (id), 
	CONSTRAINT fk_stage_event_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_stage_event_tasting_id_tasting FOREIGN KEY(tasting_id) REFERENCES tasting (id)
);
INSERT INTO "stage_event" VALUES('411bef87-4f4d-48ba-9564-53d0c7982723','5957e8d0-d672-404c-9695-abd9aca82e86','a94ff8c6-b9d0-475f-82cc-93b470c5855e','break','started','2026-03-01 17:04:00.000000',-300);
CREATE TABLE taster (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT uq_taster_name UNIQUE (name)
);
INSERT INTO "taster" VALUES('a3bed4d8-19c2-4edc-985d-f19184cdd5cf','Ines');
INSERT INTO "taster" VALUES('a770269d-4e1d-4500-abad-df10deaecfd9','Teo');
CREATE TABLE tasting (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tasting PRIMARY KEY (id)
);
INSERT INTO "tasting" VALUES('5957e8d0-d672-404c-9695-abd9aca82e86','Morning','2026-03-01 17:00:00.000000',-300);
INSERT INTO "tasting" VALUES('edfae79b-2032-41b2-8348-72a261feb91b','Planned','2026-03-01 17:00:00.000000',-300);
CREATE TABLE tasting_plan (
	id TEXT NOT NULL, 
	tasting_id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	blinding TEXT NOT NULL, 
	setup TEXT NOT NULL, 
	coffees TEXT NOT NULL, 
	commitment TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	nonce TEXT NOT NULL, 
	revealed_at DATETIME, 
	revealed_utc_offset INTEGER, 
	CONSTRAINT pk_tasting_plan PRIMARY KEY (id), 
	CONSTRAINT fk_tasting_plan_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_tasting_plan_tasting_id_tasting FOREIGN KEY(tasting_id) REFERENCES tasting (id), 
	CONSTRAINT uq_tasting_plan_tasting_id UNIQUE (tasting_id)
);
INSERT INTO "tasting_plan" VALUES('0ad1988c-a552-40bc-a873-4deaac91f5d8','edfae79b-2032-41b2-8348-72a261feb91b','a3bed4d8-19c2-4edc-985d-f19184cdd5cf','helper','{}','["822b2965-7ae5-4fc3-9aa7-7d222395e762", "a0d10bd2-9436-4b5b-a656-2bfa9292ef34"]','c0ffee','{"order": "BA"}','secret',NULL,NULL);
CREATE TABLE tombstone (
	id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tombstone PRIMARY KEY (id)
);
CREATE TABLE triad (
	id TEXT NOT NULL, 
	run_id TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	"order" TEXT, 
	code_1 TEXT NOT NULL, 
	code_2 TEXT NOT NULL, 
	code_3 TEXT NOT NULL, 
	CONSTRAINT pk_triad PRIMARY KEY (id), 
	CONSTRAINT fk_triad_run_id_triangle_run FOREIGN KEY(run_id) REFERENCES triangle_run (id), 
	CONSTRAINT uq_triad_run_id_number UNIQUE (run_id, number)
);
INSERT INTO "triad" VALUES('47d58c5f-d63a-430f-8f30-2d7fbc2f7b3d','ba6b5647-3e44-4aa7-98ff-aa959fb7d9bc',1,'AAB','417','852','306');
INSERT INTO "triad" VALUES('003f7311-e923-4318-a297-f00dd7cd6a95','259ad9dd-7553-47b9-be16-bb39919762c5',1,'ABA','417','852','306');
INSERT INTO "triad" VALUES('342da094-a017-431d-a724-3d9bff6ff131','259ad9dd-7553-47b9-be16-bb39919762c5',2,'BBA','529','174','683');
CREATE TABLE triangle_run (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	coffee_a_id TEXT NOT NULL, 
	coffee_b_id TEXT NOT NULL, 
	alpha DOUBLE NOT NULL, 
	blinding TEXT NOT NULL, 
	triads INTEGER NOT NULL, 
	commitment TEXT NOT NULL, 
	nonce TEXT NOT NULL, 
	stopped_at DATETIME, 
	stopped_utc_offset INTEGER, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, aim TEXT DEFAULT 'difference' NOT NULL, beta DOUBLE, pd DOUBLE, sitting INTEGER, pair TEXT, 
	CONSTRAINT pk_triangle_run PRIMARY KEY (id), 
	CONSTRAINT fk_triangle_run_coffee_a_id_coffee FOREIGN KEY(coffee_a_id) REFERENCES coffee (id), 
	CONSTRAINT fk_triangle_run_coffee_b_id_coffee FOREIGN KEY(coffee_b_id) REFERENCES coffee (id), 
	CONSTRAINT fk_triangle_run_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
INSERT INTO "triangle_run" VALUES('ba6b5647-3e44-4aa7-98ff-aa959fb7d9bc','a3bed4d8-19c2-4edc-985d-f19184cdd5cf','822b2965-7ae5-4fc3-9aa7-7d222395e762','a0d10bd2-9436-4b5b-a656-2bfa9292ef34',0.05,'helper',1,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
INSERT INTO "triangle_run" VALUES('259ad9dd-7553-47b9-be16-bb39919762c5','a770269d-4e1d-4500-abad-df10deaecfd9','822b2965-7ae5-4fc3-9aa7-7d222395e762','a0d10bd2-9436-4b5b-a656-2bfa9292ef34',0.05,'helper',2,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
CREATE INDEX ix_coffee_name ON coffee (name);
CREATE INDEX ix_drill_event_taster_id ON drill_event (taster_id);
CREATE INDEX ix_serving_coffee_id ON serving (coffee_id);
CREATE INDEX ix_triangle_run_taster_id ON triangle_run (taster_id);
CREATE INDEX ix_line_mark_serving_id ON line_mark (serving_id);
CREATE INDEX ix_line_mark_taster_id ON line_mark (taster_id);
CREATE INDEX ix_stage_event_serving_id ON stage_event (serving_id);
CREATE INDEX ix_stage_event_tasting_id ON stage_event (tasting_id);
CREATE TRIGGER answer_no_update BEFORE UPDATE ON answer BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE TRIGGER answer_no_replace BEFORE INSERT ON answer WHEN EXISTS (
        SELECT 1 FROM answer WHERE id = NEW.id OR triad_id = NEW.triad_id) BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE TRIGGER triad_no_update BEFORE UPDATE OF id, run_id, number, code_1, code_2, code_3 ON triad BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triad_no_second_order BEFORE UPDATE OF "order" ON triad WHEN OLD."order" IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triad_no_replace BEFORE INSERT ON triad WHEN EXISTS (
        SELECT 1 FROM triad WHERE id = NEW.id OR (run_id = NEW.run_id AND number = NEW.number)) BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triangle_run_no_update BEFORE UPDATE OF
        id, taster_id, coffee_a_id, coffee_b_id, alpha, blinding, triads, commitment, nonce, at, utc_offset
        ON triangle_run BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_second_stop BEFORE UPDATE OF stopped_at, stopped_utc_offset
        ON triangle_run WHEN OLD.stopped_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_replace BEFORE INSERT ON triangle_run WHEN EXISTS (
        SELECT 1 FROM triangle_run WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_delete BEFORE DELETE ON triangle_run WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triad_no_delete BEFORE DELETE ON triad WHEN NOT EXISTS (SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        WHERE triangle_run.id = OLD.run_id) BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER answer_no_delete BEFORE DELETE ON answer WHEN NOT EXISTS (SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        JOIN triad ON triad.run_id = triangle_run.id WHERE triad.id = OLD.triad_id) BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE INDEX ix_tasting_plan_taster_id ON tasting_plan (taster_id);
CREATE INDEX ix_circumstance_tasting_id ON circumstance (tasting_id);
CREATE TRIGGER tasting_plan_no_update BEFORE UPDATE OF id, tasting_id, taster_id, setup, coffees, commitment, key, nonce
        ON tasting_plan BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_blinder BEFORE UPDATE OF blinding ON tasting_plan WHEN NEW.blinding <> 'not blind' BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_second_reveal BEFORE UPDATE OF revealed_at, revealed_utc_offset
        ON tasting_plan WHEN OLD.revealed_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_delete BEFORE DELETE ON tasting_plan WHEN NOT EXISTS (
        SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_replace BEFORE INSERT ON tasting_plan WHEN EXISTS (
        SELECT 1 FROM tasting_plan WHERE id = NEW.id OR tasting_id = NEW.tasting_id) BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE INDEX ix_note_taster_id ON note (taster_id);
CREATE INDEX ix_note_at ON note (at);
CREATE INDEX ix_note_rank ON note (rank);
CREATE INDEX ix_note_serving_id ON note (serving_id);
CREATE INDEX ix_note_note_id_revision ON note (note_id, revision);
CREATE TRIGGER note_no_update BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_delete BEFORE DELETE ON note WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_replace BEFORE INSERT ON note WHEN EXISTS (SELECT 1 FROM note WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE INDEX ix_run_event_run_id ON run_event (run_id);
CREATE TRIGGER triangle_run_no_other_plan BEFORE UPDATE OF aim, beta, pd, sitting, pair ON triangle_run BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER run_event_no_update BEFORE UPDATE ON run_event BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
CREATE TRIGGER run_event_no_delete BEFORE DELETE ON run_event WHEN NOT EXISTS (
        SELECT 1 FROM tombstone JOIN triangle_run ON tombstone.id = triangle_run.taster_id
        WHERE triangle_run.id = OLD.run_id) BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
CREATE TRIGGER run_event_no_replace BEFORE INSERT ON run_event WHEN EXISTS (SELECT 1 FROM run_event WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
COMMIT;
