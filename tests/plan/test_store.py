"""Plans written to files and read back."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from stationplan.plan import store
from stationplan.plan.document import Batch, Delivered, Hand, Plan, Seat, Station, Stopped, Tier
from stationplan.plan.errors import PlanFileError


@pytest.fixture
def plan() -> Plan:
    batch = Batch(
        label="Aa1", item="crème", step="cook", number=1, of=1, first="0", last="7/2", unit="g", start=300, end=312,
        seats=(Seat(station="hob", start=300, end=312, amount=1),),
        hands=(Hand(person="Zoé", start=300, end=312, doing="hands-on"),),
    )  # fmt: skip
    return Plan(
        name="Saturday", opens=300, closes=600, status="proved",
        stations=(Station(name="hob", equipment="hob", kind="hob", capacity=2, unit="place"),),
        people=("Zoé",), amounts=(), batches=(batch,), stays=(), changes=(),
        orders=(Delivered(product="crème", quantity=1, due=None, weight=1, ready=312, late=0, batches=("Aa1",)),),
        tiers=(Tier(name="makespan", value=12, bound=12, proved=True),), reasons=(), chain=(), legend=(),
        scenario={"name": "Saturday", "kitchen": {"people": [{"name": "Zoé"}]}},
    )  # fmt: skip


def test_a_plan_comes_back_as_it_was(plan: Plan) -> None:
    assert store.from_json(store.to_json(plan)) == plan


def test_a_plan_from_before_it_was_told_what_ended_the_search_is_read(plan: Plan) -> None:
    raw = json.loads(store.to_json(plan.model_copy(update={"stopped": Stopped(by="stall", seconds=10)})))
    assert raw.pop("stopped") == {"by": "stall", "seconds": 10, "effort": None, "gap": None}
    assert store.from_json(json.dumps(raw)) == plan


def test_the_same_plan_gives_the_same_text(plan: Plan) -> None:
    assert store.to_json(store.from_json(store.to_json(plan))) == store.to_json(plan)


def test_a_saved_plan_is_loaded_from_its_file(plan: Plan, tmp_path: Path) -> None:
    store.save(plan, tmp_path / "plan.json")
    assert store.load(tmp_path / "plan.json") == plan


def test_saving_leaves_nothing_but_the_plan(plan: Plan, tmp_path: Path) -> None:
    store.save(plan, tmp_path / "plan.json")
    store.save(plan, tmp_path / "plan.json")
    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]


def test_a_save_that_fails_keeps_the_old_plan(plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan.json"
    store.save(plan, path)
    before = path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        store.save(plan.model_copy(update={"name": "Sunday"}), path)
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.json"]


def test_an_interrupted_save_keeps_the_old_plan(plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plan.json"
    store.save(plan, path)
    before = path.read_bytes()

    def interrupt(self: Path, target: Path) -> Path:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", interrupt)
    with pytest.raises(KeyboardInterrupt):
        store.save(plan.model_copy(update={"name": "Sunday"}), path)
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["plan.json"]


def test_a_new_file_gets_the_usual_permissions_and_an_old_one_keeps_its_own(plan: Plan, tmp_path: Path) -> None:
    usual = tmp_path / "usual"
    usual.touch()
    path = tmp_path / "plan.json"
    store.save(plan, path)
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(usual.stat().st_mode)
    path.chmod(0o640)
    store.save(plan, path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_link_stays_a_link(plan: Plan, tmp_path: Path) -> None:
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    store.save(plan.model_copy(update={"name": "Sunday"}), real)
    link.symlink_to(real)
    store.save(plan, link)
    assert link.is_symlink()
    assert store.load(real) == plan


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "not JSON"),
        ("name: Saturday", "not JSON"),
        ('{"format": "stationplan plan", "version": 1', "not JSON"),
        ("[]", 'does not say "format"'),
        ("{}", 'does not say "format"'),
        ('{"format": "something else"}', 'does not say "format"'),
        ('{"format": "stationplan plan", "version": 2}', "version 2, and this program reads version 1"),
        ('{"format": "stationplan plan"}', "version null"),
        ('{"format": "stationplan plan", "version": 1}', "damaged: name: Field required"),
        ("[" * 100_000, "nested far too deeply|not JSON"),
    ],
)
def test_what_is_no_plan_is_refused_in_a_plain_sentence(text: str, sentence: str) -> None:
    with pytest.raises(PlanFileError, match=sentence):
        store.from_json(text)


def test_a_damaged_plan_is_refused_naming_the_place(plan: Plan) -> None:
    raw = json.loads(store.to_json(plan))
    raw["batches"][0]["start"] = "early"
    with pytest.raises(PlanFileError, match=r"damaged: batches\.0\.start"):
        store.from_json(json.dumps(raw))


def test_an_unknown_field_is_refused(plan: Plan) -> None:
    raw = json.loads(store.to_json(plan)) | {"colour": "red"}
    with pytest.raises(PlanFileError, match="damaged: colour"):
        store.from_json(json.dumps(raw))


def test_a_file_that_is_no_plan_is_named(tmp_path: Path) -> None:
    path = tmp_path / "photo.json"
    path.write_bytes(b"\x89PNG\xff\xfe")
    with pytest.raises(PlanFileError, match=r"photo\.json: this is not a plan: it is not text"):
        store.load(path)
    path.write_text("{}", encoding="utf-8")
    with pytest.raises(PlanFileError, match=r"photo\.json: this is not a plan"):
        store.load(path)


def test_a_file_is_tried_out_without_a_trace(plan: Plan, tmp_path: Path) -> None:
    there = tmp_path / "plan.json"
    store.save(plan, there)
    store.try_out(there)
    store.try_out(tmp_path / "new.json")
    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]
    assert store.load(there) == plan


@pytest.mark.parametrize("text", ["name: Saturday\nshift:\n", "{}", '{"note": "a stationplan plan"}', " "])
def test_a_file_that_is_no_plan_is_not_replaced(tmp_path: Path, text: str) -> None:
    path = tmp_path / "scenario.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileExistsError, match="is no plan, and it would be lost"):
        store.try_out(path)
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("text", ["", '{"format": "stationplan plan", "version": 99}'])
def test_an_empty_file_and_a_plan_of_any_version_may_be_replaced(tmp_path: Path, text: str) -> None:
    path = tmp_path / "plan.json"
    path.write_text(text, encoding="utf-8")
    store.try_out(path)


@pytest.mark.parametrize("name", ["", "none/plan.json", os.devnull], ids=["folder", "missing folder", "device"])
def test_what_is_no_place_for_a_plan_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(OSError, match=r"it is a folder or a device|there is no folder"):
        store.try_out(tmp_path / name)


@pytest.mark.parametrize("quantity", ["much", "1/0", "0.5", "", "9" * 5000])
def test_a_quantity_that_is_no_exact_number_is_damage(plan: Plan, quantity: str) -> None:
    raw = json.loads(store.to_json(plan))
    raw["batches"][0]["last"] = quantity
    with pytest.raises(PlanFileError, match=r"this plan is damaged: batches\.0\.last"):
        store.from_json(json.dumps(raw))
