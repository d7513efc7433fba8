"""What tests of the pages of planning share: addresses, the words of a page, files to send."""

import re
from io import BytesIO

from django.urls import reverse


def url(name, *args):
    return reverse(f"planning:{name}", args=args)


def text_of(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def a_file(data, name="list.csv"):
    file = BytesIO(data)
    file.name = name
    return file
