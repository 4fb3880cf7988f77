"""Saving: the old file or the new one, never half; clear refusals."""

import os
import random
import resource
import shutil
import signal
import stat
import subprocess
import sys
import threading
import time

import pytest

from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files.save import check_outputs, check_page, make_folder, replacing, save


def refused(said, path, content="x", **options):
    with pytest.raises(PlantpickError) as caught:
        save(path, content, **options)
    assert caught.value.code == "cannot-write" and caught.value.status == ExitStatus.CANNOT_WRITE
    assert said in str(caught.value), str(caught.value)


def leftovers(folder):
    return [p.name for p in folder.iterdir() if p.name.endswith(".part")]


def test_text_and_bytes_arrive_as_they_are(tmp_path):
    assert save(tmp_path / "a.txt", "pond\u2009ü\n").read_bytes() == "pond\u2009ü\n".encode()
    save(tmp_path / "b", b"\x00\xff\r\n")
    assert (tmp_path / "b").read_bytes() == b"\x00\xff\r\n" and not leftovers(tmp_path)


def test_no_file_is_replaced_unless_told(tmp_path):
    save(tmp_path / "a", "one")
    refused("is there already", tmp_path / "a", "two")
    assert (tmp_path / "a").read_text() == "one" and not leftovers(tmp_path)
    save(tmp_path / "a", "two", replace=True)
    assert (tmp_path / "a").read_text() == "two"


def test_mode_and_links_are_kept(tmp_path):
    save(tmp_path / "a", "one")
    expected = 0o666 & ~_umask()
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == expected
    (tmp_path / "a").chmod(0o640)
    (tmp_path / "link").symlink_to("a")
    save(tmp_path / "link", "two", replace=True)
    assert (tmp_path / "link").is_symlink() and (tmp_path / "a").read_text() == "two"
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o640


def _umask():
    mask = os.umask(0)
    os.umask(mask)
    return mask


def test_places_that_are_no_place(tmp_path):
    (tmp_path / "file").write_text("x")
    (tmp_path / "loop").symlink_to("loop")
    refused("is a folder", tmp_path)
    refused("is a folder", tmp_path, replace=True)
    refused("no such folder", tmp_path / "none" / "a")
    refused("a file, not a folder", tmp_path / "file" / "a")
    refused("too long", tmp_path / ("n" * 300))
    refused("not the name", "")
    refused("not the name", "a\0b")
    with pytest.raises(PlantpickError):
        save(tmp_path / "loop", "x")
    save(tmp_path / ("n" * 255), "x")  # the longest name there can be still works


def test_all_that_must_not_be_written_is_named_at_once(tmp_path):
    for name in ("a", "b", "pond.toml"):
        (tmp_path / name).write_text("x")
    (tmp_path / "link").symlink_to("pond.toml")
    os.link(tmp_path / "pond.toml", tmp_path / "hard")
    with pytest.raises(PlantpickError) as caught:
        check_outputs([tmp_path / "a", None, tmp_path / "b", tmp_path / "c"])
    assert [p.what for p in caught.value.problems] == ["is there already."] * 2
    for name in ("pond.toml", "link", "hard", "../" + tmp_path.name + "/pond.toml"):
        with pytest.raises(PlantpickError, match="is read by this command"):
            check_outputs([tmp_path / name], [None, tmp_path / "pond.toml"], replace=True)
    for one, other in (("a", "a"), ("new", "./new"), ("new", "../" + tmp_path.name + "/new")):
        with pytest.raises(PlantpickError, match="two outputs"):
            check_outputs([f"{tmp_path}/{one}", f"{tmp_path}/{other}"], replace=True)
    check_outputs(["/dev/null", "/dev/null", tmp_path / "a", tmp_path / "c"], [tmp_path / "b"], replace=True)
    with pytest.raises(PlantpickError) as caught:
        check_outputs([tmp_path / "nowhere" / "x.html", tmp_path / "a" / "x.csv"])
    assert [p.what for p in caught.value.problems] == [
        "there is no such folder.",
        "a part of the path is a file, not a folder.",
    ]
    check_outputs([tmp_path / "nowhere" / "x.html"], folders_made=True)
    with pytest.raises(PlantpickError, match="a file, not a folder"):
        make_folder(tmp_path / "a")


def test_a_page_is_not_saved_under_the_name_of_another_kind_of_file(tmp_path):
    for name in (None, "x.html", "x.HTM", "x", "/dev/stdout"):
        check_page(name)
    for name in ("x.pdf", "x.docx", "my plan.csv"):
        with pytest.raises(PlantpickError, match="the page is HTML") as caught:
            check_page(tmp_path / name)
        assert f"{name.partition('.')[0]}.html" in caught.value.problems[0].remedy


@pytest.mark.parametrize("out, said", [("nowhere/x.html", "no such folder"), ("x.pdf", "page is HTML")])
def test_a_plan_is_not_solved_for_a_page_that_cannot_be_saved(tmp_path, monkeypatch, out, said):
    """The search never begins: a planting that took minutes would be lost."""
    from command_line import command

    from plantpick.planting import plan as planting

    monkeypatch.setattr(planting, "plan", lambda *a, **k: pytest.fail("solved first"))
    done = command("plan", "demo", "--out", str(tmp_path / out))
    assert done.returncode == ExitStatus.CANNOT_WRITE and said in " ".join(done.stderr.split())


def test_what_a_killed_run_left_is_swept_away_and_what_is_at_work_stays(tmp_path):
    """One killed while it writes, one still at work: the next to save takes away what the first left, that alone."""
    code = (
        "import sys, time\nfrom plantpick.files.save import replacing\n"
        "with replacing(sys.argv[1]) as file:\n"
        "    file.write(b'half'); file.flush(); print('go', flush=True); time.sleep(600)"
    )
    path = tmp_path / "plan.html"
    (tmp_path / ".plan.html.mine.part").write_text("the owner's own")
    (tmp_path / ".other.html.0123abcd.part").write_text("of another file")

    def half():
        child = subprocess.Popen([sys.executable, "-c", code, path], stdout=subprocess.PIPE)
        child.stdout.readline()
        return child

    killed, at_work = half(), half()
    assert len(leftovers(tmp_path)) == 4
    killed.kill()
    killed.wait()
    save(path, "whole")
    try:
        assert len(leftovers(tmp_path)) == 3 and path.read_text() == "whole"
    finally:
        at_work.kill()
        at_work.wait()
    save(path, "again", replace=True)
    assert sorted(leftovers(tmp_path)) == [".other.html.0123abcd.part", ".plan.html.mine.part"]


@pytest.mark.skipif(
    os.geteuid() == 0, reason="the superuser may write anywhere: see the test that steps down"
)
def test_a_read_only_folder(tmp_path):
    tmp_path.chmod(0o555)
    refused("may not be written", tmp_path / "a")


@pytest.mark.skipif(os.geteuid() != 0, reason="only the superuser can step down")
def test_a_read_only_folder_and_file_for_another_user():
    import tempfile

    folder = tempfile.mkdtemp(dir="/tmp")
    try:
        os.chmod(folder, 0o755)
        save(os.path.join(folder, "mine"), "")
        code = (
            f"import os; from plantpick.files.save import save\n"
            f"from plantpick.errors import PlantpickError\n"
            f"os.setgid(65534); os.setuid(65534)\n"
            f"for name in ('new', 'mine'):\n"
            f"    try: save('{folder}/' + name, 'x', replace=True)\n"
            f"    except PlantpickError as e: print(e.code, e)\n"
        )
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert done.stdout.count("cannot-write") == 2 == done.stdout.count("may not be written"), done
    finally:
        shutil.rmtree(folder)


def test_a_limit_met_half_way_leaves_the_old_file(tmp_path):
    save(tmp_path / "a", "old")
    code = (
        "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "from plantpick.files.save import save\nfrom plantpick.errors import PlantpickError\n"
        f"try: save(r'{tmp_path / 'a'}', 'y' * 100_000, replace=True)\n"
        "except PlantpickError as e: print(e.code, int(e.status), e)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout.startswith("cannot-write 4") and "larger than is allowed" in done.stdout, done
    assert (tmp_path / "a").read_text() == "old" and not leftovers(tmp_path)
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] != 4096  # the limit was the child's own


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full here")
def test_a_full_device_and_a_stream():
    refused("the disk is full", "/dev/full")
    save("/dev/null", "x")
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode)  # still a device


def test_a_full_disk(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], capture_output=True
    )
    if mounted.returncode:
        pytest.skip("a small disk cannot be mounted here: not the superuser, or not allowed")
    try:
        save(disk / "a", "old")
        refused("the disk is full", disk / "a", "y" * 200_000, replace=True)
        assert (disk / "a").read_text() == "old" and not leftovers(disk)
        save(disk / "a", "new", replace=True)  # and there is room again
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_killed_at_any_moment_it_is_the_old_file_or_the_new_one(tmp_path):
    """SIGKILL at random moments of a loop of saves; what is there is always one whole version."""
    path = tmp_path / "a"
    code = (
        "import itertools, sys\nfrom plantpick.files.save import save\nprint('go', flush=True)\n"
        f"for n in itertools.count(): save(r'{path}', f'{{n}}\\n' * 40_000 + 'end', replace=True)"
    )
    chance = random.Random(5)
    for turn in range(12):
        child = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE)
        child.stdout.readline()
        while turn == 0 and child.poll() is None and not path.exists():
            time.sleep(0.01)  # one version at least, however slow the disk
        time.sleep(chance.uniform(0.0, 0.12))
        child.send_signal(signal.SIGKILL)
        child.wait()
        child.stdout.close()
        if path.exists():
            lines = path.read_text().split("\n")
            assert lines[-1] == "end" and len(lines) == 40_001 and len(set(lines[:-1])) == 1
    assert path.exists()


def test_two_that_save_at_once_leave_one_of_the_two_whole(tmp_path):
    path, texts, faults = tmp_path / "a", ["a" * 300_000, "b" * 200_000], []

    def work(text):
        try:
            for _ in range(20):
                save(path, text, replace=True)
        except Exception as fault:
            faults.append(fault)

    workers = [threading.Thread(target=work, args=(t,)) for t in texts]
    for worker in workers:
        worker.start()
    while any(w.is_alive() for w in workers):
        if path.exists():
            assert path.read_text() in texts
    assert not faults and path.read_text() in texts and not leftovers(tmp_path)


def test_of_two_that_make_a_new_file_one_is_refused(tmp_path):
    path, won = tmp_path / "a", []

    def work(text):
        try:
            save(path, text)
            won.append(text)
        except PlantpickError:
            pass

    workers = [threading.Thread(target=work, args=(str(n) * 100_000,)) for n in range(8)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(won) == 1 and path.read_text() == won[0]


def test_a_path_through_a_folder_that_is_not_there_replaces_nothing(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    pond = tmp_path / "pond.toml"
    pond.write_text("kept\n")
    with pytest.raises(PlantpickError, match="no such folder"):
        with replacing("nowhere/../pond.toml") as file:
            file.write(b"gone\n")
    assert pond.read_text() == "kept\n" and [p.name for p in tmp_path.iterdir()] == ["pond.toml"]
