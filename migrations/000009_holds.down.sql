DROP TABLE samples, holds;
