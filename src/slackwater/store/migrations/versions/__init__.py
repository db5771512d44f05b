"""The steps. One that was released is never changed again."""
