BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0007');
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
INSERT INTO "answer" VALUES('0d1cb3f2-fb17-416d-bc98-6a4e7473d551','a5c888dc-6327-4a23-bc24-e545fef28e50','306',1,'thin','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "circumstance" VALUES('275e2c84-78b7-4809-b93f-ea3bfca0c095','3ac0b7d9-5ebe-40e9-beff-cbf7f7814353','86f736ba-a6c9-4867-b484-d2cdba43ab28',NULL,'room','smoke','2026-03-01 17:00:00.000000',-300);
CREATE TABLE coffee (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	origin TEXT NOT NULL, 
	process TEXT NOT NULL, 
	roast_date DATE, 
	CONSTRAINT pk_coffee PRIMARY KEY (id)
);
INSERT INTO "coffee" VALUES('6c9c7bd0-2992-4209-80f5-1d74deb79364','Low Terrace','Sunda','washed','2026-02-03');
INSERT INTO "coffee" VALUES('adb19833-1c60-49e5-8653-68c678e58372','High Terrace','','',NULL);
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
INSERT INTO "draft" VALUES('pad','half a wo','2026-11-25 23:18:00.862455',0);
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
	CONSTRAINT fk_note_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_note_serving_id_serving FOREIGN KEY(serving_id) REFERENCES serving (id)
);
INSERT INTO "note" VALUES('706113d9-7c29-42ce-9bf4-804e940986e2','52b138c8-7c72-4557-85ba-3753282302c0',1,'86f736ba-a6c9-4867-b484-d2cdba43ab28','54a4875d-47bf-4040-8461-286261d05283','hot','quince',0,'2026-03-01 17:00:00.000000',-300,1772384400000000);
INSERT INTO "note" VALUES('61ffbfd8-5e8c-4591-92b9-d6a1726e9fc1','d58ec695-4ac3-4430-bfe6-7fd9a50cd1b9',1,'86f736ba-a6c9-4867-b484-d2cdba43ab28','54a4875d-47bf-4040-8461-286261d05283','hot','same instant 1',0,'2026-03-01 17:01:00.000000',-300,1772384460000000);
INSERT INTO "note" VALUES('ef0991a3-c041-4ff8-91c4-76739994cb87','d0d3a756-23f3-49c0-92ca-cdf15eed981a',1,'86f736ba-a6c9-4867-b484-d2cdba43ab28','54a4875d-47bf-4040-8461-286261d05283','hot','same instant 2',0,'2026-03-01 17:01:00.000000',-300,1772384460000001);
INSERT INTO "note" VALUES('456ee075-4cf5-470e-8708-c3b0b5d5ea1c','852fe145-b559-47be-b7a5-39fcf8607fb1',1,'86f736ba-a6c9-4867-b484-d2cdba43ab28','54a4875d-47bf-4040-8461-286261d05283','hot','same instant 3',0,'2026-03-01 17:01:00.000000',-300,1772384460000002);
INSERT INTO "note" VALUES('4bfd1379-56fa-4f69-8dd3-7c720e588c88','52b138c8-7c72-4557-85ba-3753282302c0',2,'86f736ba-a6c9-4867-b484-d2cdba43ab28','54a4875d-47bf-4040-8461-286261d05283','hot','quince, honey',1,'2026-03-01 17:02:00.000000',-300,1772384520000000);
INSERT INTO "note" VALUES('130b18a5-3bc9-4676-87d7-6fa017fbedcc','96d62099-20f4-4bd8-b0e8-879c8c19f4cc',1,'ba9e3473-e7c0-460f-85f4-8fe966aefcf9','3509d284-cfc5-4b96-aa00-2dafbb72b03b','cool','nul ␛0000, lone ␛d800, ␛241b, 🫐',0,'2026-03-01 18:30:00.000000',0,1772389800000000);
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
INSERT INTO "personal_word" VALUES('98925e56-1de8-48a0-a754-2662b3b967d1','86f736ba-a6c9-4867-b484-d2cdba43ab28','grandma''s attic','outdoors/workshop','2026-11-25 23:18:00.870235',0);
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
INSERT INTO "run_event" VALUES('8e5517d3-249f-4ee4-bb03-76888ab2fe17','3f43eb97-64d7-434d-b0c3-bd9d70eb16b0','prepared','{}','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "serving" VALUES('54a4875d-47bf-4040-8461-286261d05283','1972116d-633a-42e2-b465-6208ac9e21ca','6c9c7bd0-2992-4209-80f5-1d74deb79364','417',1);
INSERT INTO "serving" VALUES('3509d284-cfc5-4b96-aa00-2dafbb72b03b','1972116d-633a-42e2-b465-6208ac9e21ca',NULL,'852',2);
INSERT INTO "serving" VALUES('fdeb4e6c-b39e-4fbe-a938-b1fc6cc4d485','3ac0b7d9-5ebe-40e9-beff-cbf7f7814353',NULL,'417',1);
INSERT INTO "serving" VALUES('2cc77323-fd94-4636-9599-a92ae750bbeb','3ac0b7d9-5ebe-40e9-beff-cbf7f7814353',NULL,'852',2);
CREATE TABLE set_aside (
	id TEXT NOT NULL, 
	taster_id TEXT NOT NULL, 
	run_id TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_set_aside PRIMARY KEY (id), 
	CONSTRAINT fk_set_aside_taster_id_taster FOREIGN KEY(taster_id) REFERENCES taster (id)
);
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
INSERT INTO "stage_event" VALUES('5e573ef2-9b8b-46c5-9429-a9520fe1315d','1972116d-633a-42e2-b465-6208ac9e21ca','54a4875d-47bf-4040-8461-286261d05283','break','started','2026-03-01 17:04:00.000000',-300);
CREATE TABLE taster (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT uq_taster_name UNIQUE (name)
);
INSERT INTO "taster" VALUES('86f736ba-a6c9-4867-b484-d2cdba43ab28','Ines');
INSERT INTO "taster" VALUES('ba9e3473-e7c0-460f-85f4-8fe966aefcf9','Teo');
CREATE TABLE tasting (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	utc_offset INTEGER NOT NULL, 
	CONSTRAINT pk_tasting PRIMARY KEY (id)
);
INSERT INTO "tasting" VALUES('1972116d-633a-42e2-b465-6208ac9e21ca','Morning','2026-03-01 17:00:00.000000',-300);
INSERT INTO "tasting" VALUES('3ac0b7d9-5ebe-40e9-beff-cbf7f7814353','Planned','2026-03-01 17:00:00.000000',-300);
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
INSERT INTO "tasting_plan" VALUES('257d902a-9c86-4244-b93f-7f6f685ab05e','3ac0b7d9-5ebe-40e9-beff-cbf7f7814353','86f736ba-a6c9-4867-b484-d2cdba43ab28','helper','{}','["6c9c7bd0-2992-4209-80f5-1d74deb79364", "adb19833-1c60-49e5-8653-68c678e58372"]','c0ffee','{"order": "BA"}','secret',NULL,NULL);
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
INSERT INTO "triad" VALUES('a5c888dc-6327-4a23-bc24-e545fef28e50','3f43eb97-64d7-434d-b0c3-bd9d70eb16b0',1,'AAB','417','852','306');
INSERT INTO "triad" VALUES('bb58d203-5b4d-4e5f-9d96-1202485302f5','809e3dd9-92f3-42e1-bbdf-3de0f246820f',1,'ABA','417','852','306');
INSERT INTO "triad" VALUES('7a05358f-c509-47d1-87a7-7776139d78ac','809e3dd9-92f3-42e1-bbdf-3de0f246820f',2,'BBA','529','174','683');
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
INSERT INTO "triangle_run" VALUES('3f43eb97-64d7-434d-b0c3-bd9d70eb16b0','86f736ba-a6c9-4867-b484-d2cdba43ab28','6c9c7bd0-2992-4209-80f5-1d74deb79364','adb19833-1c60-49e5-8653-68c678e58372',0.05,'helper',1,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
INSERT INTO "triangle_run" VALUES('809e3dd9-92f3-42e1-bbdf-3de0f246820f','ba9e3473-e7c0-460f-85f4-8fe966aefcf9','6c9c7bd0-2992-4209-80f5-1d74deb79364','adb19833-1c60-49e5-8653-68c678e58372',0.05,'helper',2,'c0ffee','secret',NULL,NULL,'2026-03-01 17:00:00.000000',-300,'difference',NULL,NULL,NULL,NULL);
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
CREATE INDEX ix_tasting_plan_taster_id ON tasting_plan (taster_id);
CREATE INDEX ix_circumstance_tasting_id ON circumstance (tasting_id);
CREATE TRIGGER tasting_plan_no_update BEFORE UPDATE OF id, tasting_id, taster_id, setup, coffees, commitment, key, nonce
        ON tasting_plan BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_blinder BEFORE UPDATE OF blinding ON tasting_plan WHEN NEW.blinding <> 'not blind' BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_second_reveal BEFORE UPDATE OF revealed_at, revealed_utc_offset
        ON tasting_plan WHEN OLD.revealed_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER tasting_plan_no_replace BEFORE INSERT ON tasting_plan WHEN EXISTS (
        SELECT 1 FROM tasting_plan WHERE id = NEW.id OR tasting_id = NEW.tasting_id) BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE INDEX ix_note_serving_id ON note (serving_id);
CREATE INDEX ix_note_at ON note (at);
CREATE INDEX ix_note_taster_id ON note (taster_id);
CREATE INDEX ix_note_rank ON note (rank);
CREATE INDEX ix_note_note_id_revision ON note (note_id, revision);
CREATE TRIGGER note_no_update BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_delete BEFORE DELETE ON note WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE TRIGGER note_no_replace BEFORE INSERT ON note WHEN EXISTS (SELECT 1 FROM note WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table note is append-only'); END;
CREATE INDEX ix_run_event_run_id ON run_event (run_id);
CREATE TRIGGER triangle_run_no_other_plan BEFORE UPDATE OF aim, beta, pd, sitting, pair ON triangle_run BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER run_event_no_update BEFORE UPDATE ON run_event BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
CREATE TRIGGER run_event_no_replace BEFORE INSERT ON run_event WHEN EXISTS (SELECT 1 FROM run_event WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
CREATE INDEX ix_set_aside_run_id ON set_aside (run_id);
CREATE INDEX ix_set_aside_taster_id ON set_aside (taster_id);
CREATE TRIGGER set_aside_no_update BEFORE UPDATE ON set_aside BEGIN SELECT RAISE(ABORT, 'table set_aside is append-only'); END;
CREATE TRIGGER set_aside_no_delete BEFORE DELETE ON set_aside WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table set_aside is append-only'); END;
CREATE TRIGGER set_aside_no_replace BEFORE INSERT ON set_aside WHEN EXISTS (SELECT 1 FROM set_aside WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'table set_aside is append-only'); END;
CREATE TRIGGER tasting_plan_no_delete BEFORE DELETE ON tasting_plan WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id) BEGIN SELECT RAISE(ABORT, 'table tasting_plan is append-only'); END;
CREATE TRIGGER triangle_run_no_delete BEFORE DELETE ON triangle_run WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = OLD.taster_id UNION ALL SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, OLD.id)
    WHERE set_aside.run_id = OLD.id) BEGIN SELECT RAISE(ABORT, 'table triangle_run is append-only'); END;
CREATE TRIGGER triad_no_delete BEFORE DELETE ON triad WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = (SELECT taster_id FROM triangle_run WHERE id = OLD.run_id) UNION ALL SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, OLD.id)
    WHERE set_aside.run_id = OLD.run_id) BEGIN SELECT RAISE(ABORT, 'table triad is append-only'); END;
CREATE TRIGGER run_event_no_delete BEFORE DELETE ON run_event WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = (SELECT taster_id FROM triangle_run WHERE id = OLD.run_id) UNION ALL SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, OLD.id)
    WHERE set_aside.run_id = OLD.run_id) BEGIN SELECT RAISE(ABORT, 'table run_event is append-only'); END;
CREATE TRIGGER answer_no_delete BEFORE DELETE ON answer WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE id = (SELECT taster_id FROM triangle_run WHERE id = (SELECT run_id FROM triad WHERE id = OLD.triad_id)) UNION ALL SELECT 1 FROM set_aside JOIN collected ON collected.id IN (set_aside.run_id, OLD.id)
    WHERE set_aside.run_id = (SELECT run_id FROM triad WHERE id = OLD.triad_id)) BEGIN SELECT RAISE(ABORT, 'table answer is append-only'); END;
COMMIT;
