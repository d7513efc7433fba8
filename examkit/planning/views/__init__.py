"""The pages of planning, a module for each subject; they speak HTTP and nothing else."""
