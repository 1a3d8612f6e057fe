using Reliability.Service.Hosting;

return await ServiceProgram.RunAsync(args);
