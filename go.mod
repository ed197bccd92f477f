module rowproof

go 1.26
