"""The first shape of the record."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables of an empty record."""
    op.create_table(
        "airplane",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_airplane")),
        sa.UniqueConstraint("name", name=op.f("uq_airplane_name")),
    )
    op.create_table(
        "content",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_content")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("added", sa.Text(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("name", name=op.f("uq_person_name")),
    )
    op.create_table(
        "site",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("type", sa.Text(), nullable=False),
        sa.Column("places", sa.Text(), nullable=False),
        sa.Column("ground_ft", sa.Float(precision=53), nullable=True),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_site")),
        sa.UniqueConstraint("name", name=op.f("uq_site_name")),
    )
    op.create_table(
        "lesson",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("date", sa.Text(), nullable=False),
        sa.Column("start", sa.Text(), nullable=False),
        sa.Column("end", sa.Text(), nullable=False),
        sa.Column("student_id", sa.String(length=32), nullable=True),
        sa.Column("instructor_id", sa.String(length=32), nullable=True),
        sa.Column("airplane_id", sa.String(length=32), nullable=True),
        sa.Column("site_id", sa.String(length=32), nullable=True),
        sa.Column("plan_id", sa.String(length=64), nullable=True),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("signed_by_id", sa.String(length=32), nullable=True),
        sa.Column("signed_at", sa.Text(), nullable=True),
        sa.Column("signed_turn", sa.Integer(), nullable=True),
        sa.Column("added", sa.Text(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["airplane_id"], ["airplane.id"], name=op.f("fk_lesson_airplane_id")),
        sa.ForeignKeyConstraint(["instructor_id"], ["person.id"], name=op.f("fk_lesson_instructor_id")),
        sa.ForeignKeyConstraint(["plan_id"], ["content.id"], name=op.f("fk_lesson_plan_id")),
        sa.ForeignKeyConstraint(["signed_by_id"], ["person.id"], name=op.f("fk_lesson_signed_by_id")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_lesson_site_id")),
        sa.ForeignKeyConstraint(["student_id"], ["person.id"], name=op.f("fk_lesson_student_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson")),
        sa.UniqueConstraint("number", name=op.f("uq_lesson_number")),
    )
    op.create_index(op.f("ix_lesson_airplane_id"), "lesson", ["airplane_id"], unique=False)
    op.create_index(op.f("ix_lesson_instructor_id"), "lesson", ["instructor_id"], unique=False)
    op.create_index(op.f("ix_lesson_plan_id"), "lesson", ["plan_id"], unique=False)
    op.create_index(op.f("ix_lesson_signed_by_id"), "lesson", ["signed_by_id"], unique=False)
    op.create_index(op.f("ix_lesson_site_id"), "lesson", ["site_id"], unique=False)
    op.create_index(op.f("ix_lesson_student_id"), "lesson", ["student_id"], unique=False)
    op.create_index("ix_lesson_student_id_date", "lesson", ["student_id", "date"], unique=False)
    op.create_table(
        "recording",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("content_id", sa.String(length=64), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("altered", sa.Boolean(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["content_id"], ["content.id"], name=op.f("fk_recording_content_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recording")),
        sa.UniqueConstraint("sha256", name=op.f("uq_recording_sha256")),
    )
    op.create_index(op.f("ix_recording_content_id"), "recording", ["content_id"], unique=False)
    op.create_table(
        "own_verdict",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("lesson_id", sa.String(length=32), nullable=False),
        sa.Column("maneuver_start", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("quantity", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("person_id", sa.String(length=32), nullable=True),
        sa.Column("given", sa.Text(), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_own_verdict_lesson_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_own_verdict_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_verdict")),
        sa.UniqueConstraint(
            "lesson_id",
            "maneuver_start",
            "code",
            "quantity",
            name=op.f("uq_own_verdict_lesson_id_maneuver_start_code_quantity"),
        ),
    )
    op.create_index(op.f("ix_own_verdict_lesson_id"), "own_verdict", ["lesson_id"], unique=False)
    op.create_index(op.f("ix_own_verdict_person_id"), "own_verdict", ["person_id"], unique=False)
    op.create_table(
        "part",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("lesson_id", sa.String(length=32), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("recording_id", sa.String(length=32), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_part_lesson_id")),
        sa.ForeignKeyConstraint(["recording_id"], ["recording.id"], name=op.f("fk_part_recording_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
        sa.UniqueConstraint("lesson_id", "place", name=op.f("uq_part_lesson_id_place")),
    )
    op.create_index(op.f("ix_part_lesson_id"), "part", ["lesson_id"], unique=False)
    op.create_index(op.f("ix_part_recording_id"), "part", ["recording_id"], unique=False)
    op.create_table(
        "result",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("lesson_id", sa.String(length=32), nullable=False),
        sa.Column("turn", sa.Integer(), nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("computed", sa.Text(), nullable=False),
        sa.Column("standard", sa.Text(), nullable=False),
        sa.Column("document_id", sa.String(length=64), nullable=False),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["document_id"], ["content.id"], name=op.f("fk_result_document_id")),
        sa.ForeignKeyConstraint(["lesson_id"], ["lesson.id"], name=op.f("fk_result_lesson_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_result")),
        sa.UniqueConstraint("lesson_id", "turn", name=op.f("uq_result_lesson_id_turn")),
    )
    op.create_index(op.f("ix_result_document_id"), "result", ["document_id"], unique=False)
    op.create_index(op.f("ix_result_lesson_id"), "result", ["lesson_id"], unique=False)
    op.create_table(
        "maneuver",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("result_id", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("direction", sa.Text(), nullable=False),
        sa.Column("confidence", sa.Float(precision=53), nullable=True),
        sa.Column("start", sa.Text(), nullable=False),
        sa.Column("end", sa.Text(), nullable=False),
        sa.Column("laps", sa.Integer(), nullable=False),
        sa.Column("wind_from_deg", sa.Float(precision=53), nullable=True),
        sa.Column("wind_kt", sa.Float(precision=53), nullable=True),
        sa.Column("wind_sd_kt", sa.Float(precision=53), nullable=True),
        sa.Column("tas_kt", sa.Float(precision=53), nullable=True),
        sa.Column("radius_ft", sa.Float(precision=53), nullable=True),
        sa.Column("radius_sd_ft", sa.Float(precision=53), nullable=True),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["result_id"], ["result.id"], name=op.f("fk_maneuver_result_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_maneuver")),
        sa.UniqueConstraint("result_id", "number", name=op.f("uq_maneuver_result_id_number")),
    )
    op.create_index(op.f("ix_maneuver_result_id"), "maneuver", ["result_id"], unique=False)
    op.create_table(
        "element",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("maneuver_id", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("quantity", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("limit", sa.Float(precision=53), nullable=True),
        sa.Column("minimum", sa.Float(precision=53), nullable=True),
        sa.Column("target", sa.Float(precision=53), nullable=True),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("worst", sa.Float(precision=53), nullable=True),
        sa.Column("worst_sd", sa.Float(precision=53), nullable=True),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["maneuver_id"], ["maneuver.id"], name=op.f("fk_element_maneuver_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_element")),
        sa.UniqueConstraint("maneuver_id", "number", name=op.f("uq_element_maneuver_id_number")),
    )
    op.create_index(op.f("ix_element_maneuver_id"), "element", ["maneuver_id"], unique=False)
    op.create_table(
        "fault",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("maneuver_id", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("fault", sa.Text(), nullable=False),
        sa.Column("size", sa.Float(precision=53), nullable=True),
        sa.Column("size_sd", sa.Float(precision=53), nullable=True),
        sa.Column("size_unit", sa.Text(), nullable=False),
        sa.Column("strength", sa.Float(precision=53), nullable=True),
        sa.Column("seal", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["maneuver_id"], ["maneuver.id"], name=op.f("fk_fault_maneuver_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault")),
        sa.UniqueConstraint("maneuver_id", "number", name=op.f("uq_fault_maneuver_id_number")),
    )
    op.create_index(op.f("ix_fault_maneuver_id"), "fault", ["maneuver_id"], unique=False)
