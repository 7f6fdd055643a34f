"""Nourishing: a Plan in, what each dog's food holds out, compared with what is published."""
