"""What the started server writes to its log, and when it does not start."""

import subprocess

from tests.support.server import ROOT, bare_environment, free_port


def test_a_database_without_its_migrations_stops_the_server_with_what_to_type(server, tmp_path):
    # As README.md starts it for real.
    done = subprocess.run(
        [
            ".venv/bin/gunicorn",
            "habitats.wsgi",
            "--workers",
            "2",
            "--threads",
            "4",
            "--preload",
            "--no-control-socket",
            "--bind",
            f"127.0.0.1:{free_port()}",
        ],
        cwd=ROOT,
        text=True,
        capture_output=True,
        timeout=60,
        env=bare_environment()
        | {"HTTPS": "off", "SECRET_KEY": "of-this-test", "DATA_DIR": str(tmp_path)},
    )

    assert done.returncode != 0
    assert "Type: .venv/bin/python manage.py upgrade" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_refused_page_is_one_line_in_the_log(server, come_in):
    before = len(server.log)
    page = come_in("builder")

    assert page.request.get("/people/").status == 403
    assert page.request.post("/log-in/", form={"username": "x"}).status == 403

    page.wait_for_timeout(500)
    lines = server.log[before:].splitlines()
    assert len(lines) == 2, lines
    assert "/people/" in lines[0]
    assert "/log-in/" in lines[1]
