"""The frame's name for Django."""

from django.apps import AppConfig


class FrameConfig(AppConfig):
    """The frame, as Django knows it."""

    name = "lungwort.web.frame"
    label = "frame"
