BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0006');
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
INSERT INTO "answer" VALUES('886e37d8-1f33-449c-bffa-8f56b21155a0','897c160b-f50c-4227-bd0d-36f03fe46f38','306',1,'thin','2026-03-01 17:00:00.000000',-300);
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
CREATE TABLE coffee (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	origin TEXT NOT NULL, 
	process TEXT NOT NULL, 
	roast_date DATE, 
	CONSTRAINT pk_coffee PRIMARY KEY (id)
);
INSERT INTO "coffee" VALUES('baa29e4f-84d0-4bb9-9529-f4f798c083ad','Low Terrace','Sunda','washed','2026-02-03');
INSERT INTO "coffee" VALUES('b5a3196c-142a-4795-bead-2bbd45d9dbcf','High Terrace','','',NULL);
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
INSERT INTO "draft" VALUES('pad','half a wo','2026-11-25 19:19:55.244194',0);
CREATE TABLE drill_event (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	drill TEXT NOT NULL, 
	node TEXT NOT NULL, 
	asked TEXT NOT NULL, 
	answered TEXT NOT NULL, 
	correct BOOLEAN, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, seconds DOUBLE, 
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
INSERT INTO "note" VALUES('4583e3ad-369d-49cf-8cb6-4bc5b5a158d9','7fefd989-fd5a-4161-942b-6c804f06f9d4',1,'7e44b0b3-552b-4c17-89ea-25486b48053a','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','hot','quince',0,'2026-03-01 17:00:00.000000',-300,1772384400000000);
INSERT INTO "note" VALUES('1995b70f-8833-476f-9e6e-c4950f814739','1439325e-84ff-468d-99f5-c3f5c18d854f',1,'7e44b0b3-552b-4c17-89ea-25486b48053a','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','hot','same instant 1',0,'2026-03-01 17:01:00.000000',-300,1772384460000000);
INSERT INTO "note" VALUES('43461815-9b26-43dd-98f5-fefa95211c68','8b95156b-2c6f-4bf8-b4e1-5f5c2565b82a',1,'7e44b0b3-552b-4c17-89ea-25486b48053a','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','hot','same instant 2',0,'2026-03-01 17:01:00.000000',-300,1772384460000001);
INSERT INTO "note" VALUES('a4538426-5427-4010-83c6-519e537a6f93','15b25ba9-5d2f-4e59-ac03-4b65ae45aca2',1,'7e44b0b3-552b-4c17-89ea-25486b48053a','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','hot','same instant 3',0,'2026-03-01 17:01:00.000000',-300,1772384460000002);
INSERT INTO "note" VALUES('f57f0d16-260f-437d-ba92-364f809d949d','7fefd989-fd5a-4161-942b-6c804f06f9d4',2,'7e44b0b3-552b-4c17-89ea-25486b48053a','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','hot','quince, honey',1,'2026-03-01 17:02:00.000000',-300,1772384520000000);
INSERT INTO "note" VALUES('cba99a1b-b08c-42f5-a741-a8990e83df20','355a9d3a-f02f-4373-8ecc-3a32bbaf66a3',1,'021ed00e-ff84-47b5-b7a8-181a015614ac','9c7aabde-be17-4b5e-be0c-30ee6c8e7d07','cool','nul ␛0000, lone ␛d800, ␛241b, 🫐',0,'2026-03-01 18:30:00.000000',0,1772389800000000);
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
INSERT INTO "personal_word" VALUES('e1216271-8f2b-40cf-bebb-4b82d0161b23','7e44b0b3-552b-4c17-89ea-25486b48053a','grandma''s attic','outdoors/workshop','2026-11-25 19:19:55.248178',0);
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
INSERT INTO "serving" VALUES('4aedfe88-9b56-42ae-a84f-0c48db9d66d3','f674b47e-d3e0-4bd7-9ac4-c7d8f0839634','baa29e4f-84d0-4bb9-9529-f4f798c083ad','417',1);
INSERT INTO "serving" VALUES('9c7aabde-be17-4b5e-be0c-30ee6c8e7d07','f674b47e-d3e0-4bd7-9ac4-c7d8f0839634',NULL,'852',2);
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
INSERT INTO "stage_event" VALUES('b8ad446e-beba-4506-ba41-6576692169f7','f674b47e-d3e0-4bd7-9ac4-c7d8f0839634','4aedfe88-9b56-42ae-a84f-0c48db9d66d3','break','started','2026-03-01 17:04:00.000000',-300);
CREATE TABLE taster (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT uq_taster_name UNIQUE (name)
);
INSERT INTO "taster" VALUES('7e44b0b3-552b-4c17-89ea-25486b48053a','Ines');
INSERT INTO "taster" VALUES('021ed00e-ff84-47b5-b7a8-181a015614ac','Teo');
CREATE TABLE tasting (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tasting PRIMARY KEY (id)
);
INSERT INTO "tasting" VALUES('f674b47e-d3e0-4bd7-9ac4-c7d8f0839634','Morning','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "triad" VALUES('897c160b-f50c-4227-bd0d-36f03fe46f38','cc37b6ae-42df-488b-8b05-06168719a9e7',1,'AAB','417','852','306');
INSERT INTO "triad" VALUES('3a96c791-b53c-484f-8401-d8e9b240cf28','214cbf1d-324d-457a-a746-297f7ff2de98',1,'ABA','417','852','306');
INSERT INTO "triad" VALUES('65b974c1-79e6-4834-b79e-232d2737235a','214cbf1d-324d-457a-a746-297f7ff2de98',2,'BBA','529','174','683');
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
INSERT INTO "triangle_run" VALUES('cc37b6ae-42df-488b-8b05-06168719a9e7','7e44b0b3-552b-4c17-89ea-25486b48053a','baa29e4f-84d0-4bb9-9529-f4f798c083ad','b5a3196c-142a-4795-bead-2bbd45d9dbcf',0.05,'helper',1,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
INSERT INTO "triangle_run" VALUES('214cbf1d-324d-457a-a746-297f7ff2de98','021ed00e-ff84-47b5-b7a8-181a015614ac','baa29e4f-84d0-4bb9-9529-f4f798c083ad','b5a3196c-142a-4795-bead-2bbd45d9dbcf',0.05,'helper',2,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
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
CREATE TRIGGER tasting_plan_no_delete BEFORE DELETE ON tasting_plan BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_replace BEFORE INSERT ON tasting_plan WHEN EXISTS (
        SELECT 1 FROM tasting_plan WHERE id = NEW.id OR tasting_id = NEW.tasting_id) BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE INDEX ix_note_rank ON note (rank);
CREATE INDEX ix_note_serving_id ON note (serving_id);
CREATE INDEX ix_note_at ON note (at);
CREATE INDEX ix_note_taster_id ON note (taster_id);
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
