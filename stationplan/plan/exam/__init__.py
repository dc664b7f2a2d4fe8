"""Practical exams: many candidates, one menu, and turns at shared equipment that are alike for all."""
