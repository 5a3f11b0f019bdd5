"""Room `faces`: what a person sees. Only this room prints."""
