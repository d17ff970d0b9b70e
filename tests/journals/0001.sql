BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
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
INSERT INTO "answer" VALUES('3f77423b-d4cd-4220-9514-796baa766026','b9279e4b-01b1-4665-a639-7da308c6393c','306',1,'thin','2026-03-01 17:00:00.000000',-300);
CREATE TABLE coffee (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	origin TEXT NOT NULL, 
	process TEXT NOT NULL, 
	roast_date DATE, 
	CONSTRAINT pk_coffee PRIMARY KEY (id)
);
INSERT INTO "coffee" VALUES('31226be0-da61-455a-a21e-65e66a345156','Low Terrace','Sunda','washed','2026-02-03');
INSERT INTO "coffee" VALUES('67eb8163-2e4b-4c6e-82bb-8c26805c8ec9','High Terrace','','',NULL);
CREATE TABLE draft (
	"key" TEXT NOT NULL, 
	text TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_draft PRIMARY KEY ("key")
);
INSERT INTO "draft" VALUES('pad','half a wo','2026-11-25 17:37:48.337174',0);
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
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_note PRIMARY KEY (id), 
	CONSTRAINT fk_note_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id), 
	CONSTRAINT fk_note_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_note_note_id_revision UNIQUE (note_id, revision)
);
INSERT INTO "note" VALUES('2a3747e7-a829-4375-8626-5f0e7cac3cda','a86ed60a-3f1e-453d-9cde-f801270b3f60',1,'7880f073-13db-4168-a1f9-d9b7980bc321','15fa5112-a9f8-4f51-80c1-8c2df96214d7','hot','quince',0,'2026-03-01 17:00:00.000000',-300);
INSERT INTO "note" VALUES('e9e33652-bcd0-423d-a761-74b3a9225dff','c6581c4a-e927-41c4-b39f-2c0c13e42d20',1,'7880f073-13db-4168-a1f9-d9b7980bc321','15fa5112-a9f8-4f51-80c1-8c2df96214d7','hot','same instant 1',0,'2026-03-01 17:01:00.000000',-300);
INSERT INTO "note" VALUES('b721668b-67cc-49a0-aff9-b150b7c25ee8','5ad7e6f6-8147-4835-89dc-67aab30c12ac',1,'7880f073-13db-4168-a1f9-d9b7980bc321','15fa5112-a9f8-4f51-80c1-8c2df96214d7','hot','same instant 2',0,'2026-03-01 17:01:00.000000',-300);
INSERT INTO "note" VALUES('80559994-19b6-4ab3-99b6-fc4f9edf4c25','489ca87e-ca19-413d-84be-36e0f632213b',1,'7880f073-13db-4168-a1f9-d9b7980bc321','15fa5112-a9f8-4f51-80c1-8c2df96214d7','hot','same instant 3',0,'2026-03-01 17:01:00.000000',-300);
INSERT INTO "note" VALUES('184bbc32-3c07-4a98-b8c0-7c030875ed84','a86ed60a-3f1e-453d-9cde-f801270b3f60',2,'7880f073-13db-4168-a1f9-d9b7980bc321','15fa5112-a9f8-4f51-80c1-8c2df96214d7','hot','quince, honey',1,'2026-03-01 17:02:00.000000',-300);
INSERT INTO "note" VALUES('8b316bd1-1a69-48cd-9fee-efdfd33568c0','9c189f8d-7e94-438d-8dbd-296291c1de61',1,'3312c521-b0a1-4aaf-a0fb-09ce188afbc8','4c831187-304b-46b7-875b-445c6920e2d2','cool','nul ␛0000, lone ␛d800, ␛241b, 🫐',0,'2026-03-01 18:30:00.000000',0);
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
INSERT INTO "personal_word" VALUES('a09572dc-6a98-4d67-ac41-041aa48e05cf','7880f073-13db-4168-a1f9-d9b7980bc321','grandma''s attic','outdoors/workshop','2026-11-25 17:37:48.341505',0);
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
INSERT INTO "serving" VALUES('15fa5112-a9f8-4f51-80c1-8c2df96214d7','0edb9a7e-8531-4e54-bd41-c1b26b277232','31226be0-da61-455a-a21e-65e66a345156','417',1);
INSERT INTO "serving" VALUES('4c831187-304b-46b7-875b-445c6920e2d2','0edb9a7e-8531-4e54-bd41-c1b26b277232',NULL,'852',2);
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
INSERT INTO "stage_event" VALUES('a146f354-4a46-4751-8d98-1495d0e5e432','0edb9a7e-8531-4e54-bd41-c1b26b277232','15fa5112-a9f8-4f51-80c1-8c2df96214d7','break','started','2026-03-01 17:04:00.000000',-300);
CREATE TABLE taster (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT uq_taster_name UNIQUE (name)
);
INSERT INTO "taster" VALUES('7880f073-13db-4168-a1f9-d9b7980bc321','Ines');
INSERT INTO "taster" VALUES('3312c521-b0a1-4aaf-a0fb-09ce188afbc8','Teo');
CREATE TABLE tasting (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tasting PRIMARY KEY (id)
);
INSERT INTO "tasting" VALUES('0edb9a7e-8531-4e54-bd41-c1b26b277232','Morning','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "triad" VALUES('b9279e4b-01b1-4665-a639-7da308c6393c','3ca90415-3a68-4eba-a2b4-268b736ab64f',1,'AAB','417','852','306');
INSERT INTO "triad" VALUES('b95bec6a-d978-4666-a7fe-4f241a2aacd6','21811032-4019-499e-bc88-4c8077195671',1,'ABA','417','852','306');
INSERT INTO "triad" VALUES('c0541faa-a636-4aa9-a947-df857d2b17ac','21811032-4019-499e-bc88-4c8077195671',2,'BBA','529','174','683');
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
INSERT INTO "triangle_run" VALUES('3ca90415-3a68-4eba-a2b4-268b736ab64f','7880f073-13db-4168-a1f9-d9b7980bc321','31226be0-da61-455a-a21e-65e66a345156','67eb8163-2e4b-4c6e-82bb-8c26805c8ec9',0.05,'helper',1,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300);
INSERT INTO "triangle_run" VALUES('21811032-4019-499e-bc88-4c8077195671','3312c521-b0a1-4aaf-a0fb-09ce188afbc8','31226be0-da61-455a-a21e-65e66a345156','67eb8163-2e4b-4c6e-82bb-8c26805c8ec9',0.05,'helper',2,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300);
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
CREATE TRIGGER note_no_update BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_delete BEFORE DELETE ON note BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_replace BEFORE INSERT ON note WHEN EXISTS (
        SELECT 1 FROM note WHERE id = NEW.id OR (note_id = NEW.note_id AND revision = NEW.revision)) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER answer_no_update BEFORE UPDATE ON answer BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE TRIGGER answer_no_delete BEFORE DELETE ON answer BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE TRIGGER answer_no_replace BEFORE INSERT ON answer WHEN EXISTS (
        SELECT 1 FROM answer WHERE id = NEW.id OR triad_id = NEW.triad_id) BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
CREATE TRIGGER triad_no_update BEFORE UPDATE OF id, run_id, number, code_1, code_2, code_3 ON triad BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triad_no_second_order BEFORE UPDATE OF "order" ON triad WHEN OLD."order" IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triad_no_delete BEFORE DELETE ON triad BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triad_no_replace BEFORE INSERT ON triad WHEN EXISTS (
        SELECT 1 FROM triad WHERE id = NEW.id OR (run_id = NEW.run_id AND number = NEW.number)) BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER triangle_run_no_update BEFORE UPDATE OF
        id, taster_id, coffee_a_id, coffee_b_id, alpha, blinding, triads, commitment, nonce, at, utc_offset
        ON triangle_run BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_second_stop BEFORE UPDATE OF stopped_at, stopped_utc_offset
        ON triangle_run WHEN OLD.stopped_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_delete BEFORE DELETE ON triangle_run BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triangle_run_no_replace BEFORE INSERT ON triangle_run WHEN EXISTS (
        SELECT 1 FROM triangle_run WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
COMMIT;
