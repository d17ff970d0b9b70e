BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
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
INSERT INTO "answer" VALUES('2c679b5a-f27e-4799-9609-79e9dc72172f','55de28b4-3fe7-47a7-96cb-4e05e634c5dc','306',1,'thin','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "coffee" VALUES('221f643f-58d3-4b02-bf65-b669033a727b','Low Terrace','Sunda','washed','2026-02-03');
INSERT INTO "coffee" VALUES('3689daff-c669-4504-9901-706a4316cc31','High Terrace','','',NULL);
CREATE TABLE draft (
	"key" TEXT NOT NULL, 
	text TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_draft PRIMARY KEY ("key")
);
INSERT INTO "draft" VALUES('pad','half a wo','2026-11-25 17:37:48.961075',0);
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
CREATE TABLE note (
	id TEXT NOT NULL, 
	note_id TEXT NOT NULL, 
	revision INTEGER NOT NULL, 
	taster_id TEXT NOT NULL, 
	serving_id TEXT NOT NULL, 
	stage TEXT NOT NULL, 
	text TEXT NOT NULL, 
	coached BOOLEAN NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, rank BIGINT DEFAULT '0' NOT NULL, 
	CONSTRAINT pk_note PRIMARY KEY (id), 
	CONSTRAINT fk_note_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_note_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_note_note_id_revision UNIQUE (note_id, revision)
);
INSERT INTO "note" VALUES('a6c17694-4ac8-4f58-8ca0-4a67628aff36','560077f7-3d26-4d09-b383-b6505027d585',1,'0c1a5d36-26bc-444c-b3a6-076e4932a759','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','hot','quince',0,'2026-03-01 17:00:00.000000',-300,1772384400000000);
INSERT INTO "note" VALUES('569bfbdd-3593-4d51-895b-23a76bf9df95','6825e665-6c9e-4ade-b361-ebfd203f85d6',1,'0c1a5d36-26bc-444c-b3a6-076e4932a759','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','hot','same instant 1',0,'2026-03-01 17:01:00.000000',-300,1772384460000000);
INSERT INTO "note" VALUES('baa7e4cb-df28-4812-bb43-120b9ddca474','a3272316-7eec-4174-a1b7-8f56156d8c51',1,'0c1a5d36-26bc-444c-b3a6-076e4932a759','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','hot','same instant 2',0,'2026-03-01 17:01:00.000000',-300,1772384460000001);
INSERT INTO "note" VALUES('3e134689-f58c-4048-8edc-b4f06b9adaa2','37ead279-2fc3-4571-ac44-1df76d3dbb8a',1,'0c1a5d36-26bc-444c-b3a6-076e4932a759','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','hot','same instant 3',0,'2026-03-01 17:01:00.000000',-300,1772384460000002);
INSERT INTO "note" VALUES('5c68e7b7-54fe-4672-96e7-3eb5a4416492','560077f7-3d26-4d09-b383-b6505027d585',2,'0c1a5d36-26bc-444c-b3a6-076e4932a759','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','hot','quince, honey',1,'2026-03-01 17:02:00.000000',-300,1772384520000000);
INSERT INTO "note" VALUES('2ff434a7-eab3-4634-ab5e-9270bc22ec9e','b875970a-d4ea-4271-bb74-13aa5c410f8d',1,'748c45fd-0843-4acc-a14d-d06357fbef82','732310f9-87b8-4836-987e-b5caa1cb2ff3','cool','nul ␛0000, lone ␛d800, ␛241b, 🫐',0,'2026-03-01 18:30:00.000000',0,1772389800000000);
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
INSERT INTO "personal_word" VALUES('5dd71cfb-9cbe-4f48-94a7-6901334abf87','0c1a5d36-26bc-444c-b3a6-076e4932a759','grandma''s attic','outdoors/workshop','2026-11-25 17:37:48.964841',0);
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
INSERT INTO "serving" VALUES('b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','74015aad-ad5b-49f0-bbeb-b605ec670153','221f643f-58d3-4b02-bf65-b669033a727b','417',1);
INSERT INTO "serving" VALUES('732310f9-87b8-4836-987e-b5caa1cb2ff3','74015aad-ad5b-49f0-bbeb-b605ec670153',NULL,'852',2);
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
INSERT INTO "stage_event" VALUES('fe9ec6e7-2d1b-461d-a54f-20d1c77ecd08','74015aad-ad5b-49f0-bbeb-b605ec670153','b0ce8022-5dd2-4d1f-b8dc-d799144ed9bd','break','started','2026-03-01 17:04:00.000000',-300);
CREATE TABLE taster (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT uq_taster_name UNIQUE (name)
);
INSERT INTO "taster" VALUES('0c1a5d36-26bc-444c-b3a6-076e4932a759','Ines');
INSERT INTO "taster" VALUES('748c45fd-0843-4acc-a14d-d06357fbef82','Teo');
CREATE TABLE tasting (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tasting PRIMARY KEY (id)
);
INSERT INTO "tasting" VALUES('74015aad-ad5b-49f0-bbeb-b605ec670153','Morning','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "triad" VALUES('55de28b4-3fe7-47a7-96cb-4e05e634c5dc','f4fe9a62-bf0b-42d6-9452-2027da9f0ddf',1,'AAB','417','852','306');
INSERT INTO "triad" VALUES('ad49992c-16cb-4898-8721-5a9a32a23d44','de1cc589-6371-41e4-9d65-bbc6551b5b8e',1,'ABA','417','852','306');
INSERT INTO "triad" VALUES('da952cf0-dd9c-4757-acb9-bc9793fd8625','de1cc589-6371-41e4-9d65-bbc6551b5b8e',2,'BBA','529','174','683');
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
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_triangle_run PRIMARY KEY (id), 
	CONSTRAINT fk_triangle_run_coffee_a_id_coffee FOREIGN KEY(coffee_a_id) REFERENCES coffee (id), 
	CONSTRAINT fk_triangle_run_coffee_b_id_coffee FOREIGN KEY(coffee_b_id) REFERENCES coffee (id), 
	CONSTRAINT fk_triangle_run_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
INSERT INTO "triangle_run" VALUES('f4fe9a62-bf0b-42d6-9452-2027da9f0ddf','0c1a5d36-26bc-444c-b3a6-076e4932a759','221f643f-58d3-4b02-bf65-b669033a727b','3689daff-c669-4504-9901-706a4316cc31',0.05,'helper',1,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300);
INSERT INTO "triangle_run" VALUES('de1cc589-6371-41e4-9d65-bbc6551b5b8e','748c45fd-0843-4acc-a14d-d06357fbef82','221f643f-58d3-4b02-bf65-b669033a727b','3689daff-c669-4504-9901-706a4316cc31',0.05,'helper',2,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300);
CREATE INDEX ix_coffee_name ON coffee (name);
CREATE INDEX ix_drill_event_taster_id ON drill_event (taster_id);
CREATE INDEX ix_serving_coffee_id ON serving (coffee_id);
CREATE INDEX ix_triangle_run_taster_id ON triangle_run (taster_id);
CREATE INDEX ix_line_mark_serving_id ON line_mark (serving_id);
CREATE INDEX ix_line_mark_taster_id ON line_mark (taster_id);
CREATE INDEX ix_note_serving_id ON note (serving_id);
CREATE INDEX ix_note_taster_id ON note (taster_id);
CREATE INDEX ix_stage_event_serving_id ON stage_event (serving_id);
CREATE INDEX ix_stage_event_tasting_id ON stage_event (tasting_id);
CREATE TRIGGER note_no_replace BEFORE INSERT ON note WHEN EXISTS (
        SELECT 1 FROM note WHERE id = NEW.id OR (note_id = NEW.note_id AND revision = NEW.revision)) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
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
CREATE INDEX ix_note_rank ON note (rank);
CREATE INDEX ix_note_at ON note (at);
CREATE TRIGGER note_no_update BEFORE UPDATE ON note WHEN TRUE BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_delete BEFORE DELETE ON note WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
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
COMMIT;
