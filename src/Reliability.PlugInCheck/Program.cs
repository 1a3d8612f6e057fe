using Reliability.PlugInCheck;

return CheckCommand.Run(args, Console.Out, Console.Error);
