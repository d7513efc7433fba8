"""The web server's way in: `gunicorn examkit.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "examkit.settings")

application = get_wsgi_application()
