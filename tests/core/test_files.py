"""Files written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from baybook.errors import InputError
from baybook.files import check_target, write_whole


def test_a_link_is_written_through(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    target, link = tmp_path / "far" / "report.pdf", tmp_path / "link.pdf"
    link.symlink_to(target)
    for content in (b"one", b"two"):  # first it leads to a file that does not exist yet
        check_target(link, force=True)
        write_whole(link, content)
        assert (link.is_symlink(), target.read_bytes()) == (True, content)
    assert os.listdir(tmp_path / "far") == ["report.pdf"]
    with pytest.raises(InputError, match="exists already"):
        check_target(link, force=False)


def test_a_link_into_no_folder_and_one_to_itself_are_refused(tmp_path: Path) -> None:
    (tmp_path / "astray.pdf").symlink_to(tmp_path / "nowhere" / "report.pdf")
    (tmp_path / "circle.pdf").symlink_to("circle.pdf")
    with pytest.raises(InputError, match="lies in a folder that does not exist"):
        check_target(tmp_path / "astray.pdf", force=True)
    with pytest.raises(InputError, match="is no file that can be written whole"):
        check_target(tmp_path / "circle.pdf", force=True)


@pytest.mark.parametrize("by_link", [False, True])
def test_what_is_no_file_is_neither_replaced_nor_written(tmp_path: Path, by_link: bool) -> None:
    pipe, link = tmp_path / "pipe.pdf", tmp_path / "link.pdf"
    os.mkfifo(pipe)
    link.symlink_to(pipe)
    path = link if by_link else pipe
    for attempt in (lambda: check_target(path, force=True), lambda: write_whole(path, b"new")):
        with pytest.raises(InputError, match="is no file that can be written whole; give the name of a file"):
            attempt()
    assert pipe.is_fifo()
    assert sorted(os.listdir(tmp_path)) == ["link.pdf", "pipe.pdf"]


def test_who_may_read_a_file_stays_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    write_whole(path, b"one")
    path.chmod(0o600)
    write_whole(path, b"two")
    assert (path.stat().st_mode & 0o777, path.read_bytes()) == (0o600, b"two")


def test_a_folder_that_cannot_be_written_to_is_named_by_the_file_that_was_asked_for(tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", "a scratch name")

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    with pytest.raises(InputError, match=r"report\.pdf\" cannot be written: Permission denied") as refused:
        write_whole(tmp_path / "report.pdf", b"one")
    assert "scratch" not in str(refused.value)


def test_a_folder_is_no_file_to_write(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder; give a file name"):
        check_target(tmp_path, force=True)


def test_a_full_disk_is_told_and_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    path = tmp_path / "job.toml"
    write_whole(path, b"one")
    monkeypatch.setattr("os.replace", full)
    with pytest.raises(InputError, match="cannot be written: No space left on device; give a name on a disk that has room"):
        write_whole(path, b"two")
    assert (os.listdir(tmp_path), path.read_bytes()) == (["job.toml"], b"one")
